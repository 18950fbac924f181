package recording

import (
	"encoding/binary"
	"encoding/json"
	"time"

	"benchproof.example/monitor/fact"
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

func eventOf(k fact.Kind) byte {
	switch k {
	case fact.Bytes:
		return eventReceived
	case fact.BadByte:
		return eventParity
	case fact.Overrun:
		return eventOverflow
	case fact.RecordingGap:
		return eventLost
	case fact.End:
		return eventComplete
	}
	return eventStatus
}

// kindOf reads the kind from the event byte and the comment; false means that
// they name none, or two.
func kindOf(event byte, comment []byte) (fact.Kind, bool) {
	switch event {
	case eventReceived:
		return fact.Bytes, true
	case eventParity:
		return fact.BadByte, true
	}
	for k, word := range fact.KindWords {
		if word != "" && startsWith(comment, word) {
			return fact.Kind(k), eventOf(fact.Kind(k)) == event
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
func remark(in *fact.Input) string {
	if in.Kind == fact.Bytes || in.Kind == fact.BadByte {
		return ""
	}
	if text := plain(readable(in)); text != "" {
		return in.Kind.String() + ": " + text
	}
	return in.Kind.String()
}

// readable says in words what an input is, for who opens the recording
// elsewhere. Nothing is ever read back from it.
func readable(in *fact.Input) string {
	switch in.Kind {
	case fact.Begin, fact.Resume:
		var s fact.Start
		if json.Unmarshal(in.Data, &s) != nil {
			return ""
		}
		return clock(s.WallNS) + " " + s.Build
	case fact.Beat:
		if len(in.Data) != 8 {
			return ""
		}
		return clock(int64(binary.BigEndian.Uint64(in.Data)))
	case fact.TapUp:
		return portOf(in).Port
	case fact.RecordingGap:
		var g fact.Gap
		if json.Unmarshal(in.Data, &g) != nil {
			return ""
		}
		return g.Why
	case fact.Edges:
		return ""
	}
	return string(in.Data)
}

func clock(unixNS int64) string { return time.Unix(0, unixNS).UTC().Format(time.RFC3339Nano) }

// portOf reads what came up; a Port that can't be read has no name.
func portOf(in *fact.Input) fact.Port {
	var p fact.Port
	if json.Unmarshal(in.Data, &p) != nil {
		return fact.Port{}
	}
	return p
}
