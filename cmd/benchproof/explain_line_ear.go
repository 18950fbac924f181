package main

import (
	"strconv"

	"benchproof.example/decode/linefault"
	"benchproof.example/monitor/event"
)

// ear is one line that is listened to.
type ear struct {
	name string // "" where there is one only
	*linefault.Listener
	last int64 // date of what came last, ns
}

// take takes an input of its line.
func (e *ear) take(in *event.Input) {
	switch in.Kind {
	case event.InputBytes, event.InputBadBytes:
		e.Feed(in.Data, int64(in.At), in.Kind == event.InputBadBytes)
	case event.InputOverrun:
		n, _ := strconv.ParseInt(string(in.Data), 10, 64)
		e.Lost(max(n, 0))
	}
	e.last = int64(in.At)
}
