package account

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	// toldFrames is how many failsafe flags in a row say that the signal is gone, where no watcher
	// says so first: they read frames that come three late, and want four of these.
	toldFrames = 2 * base.MinFrames
	// toldLost is how long frames are flagged without one between, for the same.
	toldLost = 600 * unit.Millisecond
)

// told follows the flags of all frames of a tap, those that were read late too: these have
// no dates of their own, but what they carry was sent. The watchers pass over them, and forget
// the link over so long a hole.
//
//	frames   . . . . .         |||||||| F F F F F F F F
//	               ^ At        ^ read late: . . F F     ^ told
type told struct {
	Linked bool      // four plain frames in a row came
	Plain  int       // in a row
	At     unit.Time // wire time of the latest that were four in a row
	Row    int       // flagged in a row,
	From   unit.Time // wire time of the first of them,
	Given  int       // and with the failsafe flag in a row
}

func (f *told) frame(o *event.Observation) {
	if o.Frame.Bad {
		return
	}
	if o.Frame.Flags&(bus.Lost|bus.Failsafe) == 0 {
		f.Row, f.Given = 0, 0
		if f.Plain++; f.Plain >= base.MinFrames {
			f.Linked, f.At = true, o.Wire
		}
		return
	}
	f.Plain = 0
	if f.Row++; f.Row == 1 {
		f.From = o.Wire
	}
	if f.Given++; o.Frame.Flags&bus.Failsafe == 0 {
		f.Given = 0
	}
}

// gone reports that the flags say that a link which there was is lost.
func (f *told) gone(wire unit.Time) bool {
	return f.Linked && (f.Given >= toldFrames || f.Row >= toldFrames && wire.Sub(f.From) >= toldLost)
}
