package recording

import (
	"encoding/binary"
	"encoding/json"
	"time"

	"benchproof.example/monitor/event"
)

// Event bytes of the link type (LINKTYPE_RTAC_SERIAL). eventStatus leaves the
// kind to the comment.
const (
	eventStatus   = 0
	eventReceived = 2
	eventLost     = 5
	eventComplete = 6
	eventParity   = 8
	eventOverflow = 10
)

func eventOf(k event.InputKind) byte {
	switch k {
	case event.InputBytes:
		return eventReceived
	case event.InputBadBytes:
		return eventParity
	case event.InputOverrun:
		return eventOverflow
	case event.InputRecordingGap:
		return eventLost
	case event.InputEnd:
		return eventComplete
	}
	return eventStatus
}

// kindOf reads the kind from the event byte and the comment; false means that
// they name none, or two.
func kindOf(happened byte, comment []byte) (event.InputKind, bool) {
	switch happened {
	case eventReceived:
		return event.InputBytes, true
	case eventParity:
		return event.InputBadBytes, true
	}
	for k, word := range event.InputNames {
		if word != "" && startsWith(comment, word) {
			return event.InputKind(k), eventOf(event.InputKind(k)) == happened
		}
	}
	return 0, false
}

// startsWith says whether the comment's first word is the given one.
func startsWith(comment []byte, word string) bool {
	n := len(word)
	return len(comment) >= n && string(comment[:n]) == word && (len(comment) == n || comment[n] == ':')
}

// remark is a packet's comment, "" for none.
func remark(in *event.Input) string {
	if in.Kind == event.InputBytes || in.Kind == event.InputBadBytes {
		return ""
	}
	if text := plain(readable(in)); text != "" {
		return in.Kind.String() + ": " + text
	}
	return in.Kind.String()
}

// readable says in words what an input is, for who opens the recording
// elsewhere. Nothing is ever read back from it.
func readable(in *event.Input) string {
	switch in.Kind {
	case event.InputBegin, event.InputResume:
		var s event.Start
		if json.Unmarshal(in.Data, &s) != nil {
			return ""
		}
		return clock(s.WallNS) + " " + s.Build
	case event.InputBeat:
		if len(in.Data) != 8 {
			return ""
		}
		return clock(int64(binary.BigEndian.Uint64(in.Data)))
	case event.InputTapUp:
		return portOf(in).Port
	case event.InputRecordingGap:
		var g event.RecordingGapInput
		if json.Unmarshal(in.Data, &g) != nil {
			return ""
		}
		return g.Why
	case event.InputEdges:
		return ""
	}
	return string(in.Data)
}

func clock(unixNS int64) string { return time.Unix(0, unixNS).UTC().Format(time.RFC3339Nano) }

// portOf reads what came up; a Port that can't be read has no name, nor has what a tap
// reads before anything came up.
func portOf(in *event.Input) event.Port {
	var p event.Port
	if in.Kind != event.InputTapUp || json.Unmarshal(in.Data, &p) != nil {
		return event.Port{}
	}
	return p
}
