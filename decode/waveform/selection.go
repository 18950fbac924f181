package waveform

import "benchproof.example/decode/edge"

// batch is about how many events Next gives at a time.
const batch = 1024

// unset is no level: that of a line before its first one.
const unset edge.Level = 0xFF

// none ends a chain of signals.
const none = -1

// watch turns levels of lines into events of the selected signals. Several
// selected names may be one line.
type watch struct {
	lines  []watched
	next   []int // by selected signal: the next one that is the same line
	events []Event
}

type watched struct {
	first int // selected signal of this line, none for no such
	last  edge.Level
}

func newWatch(lines, signals int) *watch {
	w := &watch{lines: make([]watched, lines), next: make([]int, signals), events: make([]Event, 0, batch+signals)}
	for i := range w.lines {
		w.lines[i] = watched{first: none, last: unset}
	}
	return w
}

func (w *watch) add(signal, line int) {
	w.next[signal] = w.lines[line].first
	w.lines[line].first = signal
}

// full reports that no further event is sure to have room once each signal had
// one.
func (w *watch) full() bool { return len(w.events) >= batch }

// level says that a line has a level from a tick on.
func (w *watch) level(line int, tick int64, l edge.Level) {
	at := &w.lines[line]
	if at.last == l {
		return
	}
	at.last = l
	for s := at.first; s != none; s = w.next[s] {
		w.events = append(w.events, Event{Signal: s, Edge: edge.Edge{Tick: tick, Level: l}})
	}
}

// allUnknown says that no line is known from a tick on.
func (w *watch) allUnknown(tick int64) {
	for line := range w.lines {
		if w.lines[line].first != none {
			w.level(line, tick, edge.Unknown)
		}
	}
}
