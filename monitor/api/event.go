package api

import (
	"bytes"
	"strconv"
)

// shownEvent is one event as clients get it. It is encoded once; all clients share
// the bytes, which never change.
type shownEvent struct {
	seq   int64
	frame []byte // of the event stream: "id: 12\ndata: {...}\n\n"
	line  []byte // of the timeline: "{...}\n", part of frame
}

func newEvent(seq int64, line []byte) shownEvent {
	line = bytes.TrimSuffix(line, []byte("\n"))
	frame := make([]byte, 0, len(line)+len("id: \ndata: \n\n")+20)
	frame = strconv.AppendInt(append(frame, "id: "...), seq, 10)
	frame = append(frame, "\ndata: "...)
	begins := len(frame)
	frame = append(append(frame, line...), "\n\n"...)
	return shownEvent{seq: seq, frame: frame, line: frame[begins : len(frame)-1]}
}

// limits bound how many events are taken at a time. One is taken however long
// it is.
type limits struct{ events, bytes int }

// full reports whether another event would be too many, given what was taken.
func (l limits) full(events, bytes, next int) bool {
	return events >= l.events || events > 0 && bytes+next > l.bytes
}
