package link

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// noLive is how long frames are flagged without a live one between until the signal
// counts as lost, whatever flag they carry (a choice of ours: shorter than any
// receiver's failsafe, longer than the runs of a marginal link).
const noLive = 500 * unit.Millisecond

// linkState follows by the flags of a tap's frames whether the receiver hears its
// transmitter.
//
//	flags   . . . . L L . L L L L L L F F F F . . . .
//	        ^up                ^500 ms      ^     ^up again: four in a row
//	                           lost         failsafe
type linkState struct {
	Up    bool      // live frames come; flags before that are neither proof nor fault
	Since unit.Time // wire time of the first live frame
	Heard unit.Time // the same, gaps of the line aside
	Gap   bool      // such a gap interrupted it

	Plain  int       // frames in a row without a flag
	Plains unit.Time // wire time of the first of them
	Before unit.Time // and of the frame before those, whatever it said
	LiveAt unit.Time // of the latest live frame; 0: none since the line was silent
	Alone  unit.Time // of the latest frame without a flag: fewer than four in a row may be live ones, or wrong
	Last   unit.Time // of the latest frame
	Unset  unit.Time // of the latest frame without the failsafe flag
	Silent bool      // the line was silent since the latest live frame

	Flags flagRun
}

// pass takes a frame whose flags are not believed, since its values are not.
func (l *linkState) pass(wire unit.Time) {
	switch hole := wire.Sub(l.Last); {
	case hole >= base.MinRestartSilence:
		l.interrupted()
	case hole > base.MaxFrameStep:
		l.unheard()
	}
	l.Last = wire
}

// unheard takes note of a hole in which the receiver did not begin anew: of a short gap of the
// line, or of frames that were read late.
func (l *linkState) unheard() {
	gap := l.Up || l.Gap
	l.interrupted()
	l.Gap = gap
}

// see takes the flags of the next frame.
func (l *linkState) see(flags bus.Flags, wire unit.Time) {
	before := l.Last
	l.pass(wire)
	if flags&(bus.Lost|bus.Failsafe) == 0 {
		l.plain(wire, before)
		return
	}
	l.flagged(flags, wire)
}

// interrupted forgets the link: after a silence flags may be those of a receiver
// that was just switched on.
func (l *linkState) interrupted() {
	*l = linkState{Last: l.Last, Unset: l.Unset, Heard: l.Heard, Silent: l.Silent || l.LiveAt != 0}
}

// plain takes a frame without a flag, and the wire time of the one before it.
func (l *linkState) plain(wire, before unit.Time) {
	if l.Plain == 0 {
		l.Plains, l.Before = wire, before
	}
	l.Plain++
	l.Alone, l.Unset = wire, wire
	l.Flags.Row, l.Flags.Given = 0, 0
	switch {
	case l.Plain >= base.MinFrames:
		if !l.Up {
			l.Up, l.Since = true, l.Plains
			if !l.Gap {
				l.Heard = l.Plains
			}
			l.Gap = false
		}
		l.LiveAt, l.Silent, l.Flags = wire, false, flagRun{}
	case l.Up && l.Flags == flagRun{}:
		l.LiveAt = wire
	}
}

func (l *linkState) flagged(flags bus.Flags, wire unit.Time) {
	l.Plain = 0
	f := &l.Flags
	if f.Row++; f.Row == 1 {
		f.From = wire
	}
	if flags&bus.Lost != 0 && f.Lost == 0 {
		f.Lost = wire
	}
	if flags&bus.Failsafe != 0 {
		if f.Given++; f.Given == 1 {
			f.Set = wire
		}
		if f.Given >= base.MinFrames && f.Failsafe == 0 {
			f.Failsafe, f.NotYet = f.Set, l.Unset
		}
	} else {
		f.Given, l.Unset = 0, wire
	}
	if f.Failsafe != 0 || f.Row >= base.MinFrames && wire.Sub(f.From) >= noLive {
		f.Believed, l.Up, l.Gap = true, false, false
	}
}

// gone reports that the signal is lost, and was there before.
func (l *linkState) gone() bool { return l.Flags.Believed && l.LiveAt != 0 }

// rests reports that frames without a flag only go on counting.
func (l *linkState) rests() bool {
	return l.Up && l.Plain >= base.MinFrames && l.Flags == flagRun{} && !l.Silent && !l.Gap
}

// goOn takes n such frames, up to the one at a wire time.
func (l *linkState) goOn(n int, wire unit.Time) {
	l.Plain += n
	l.LiveAt, l.Alone, l.Unset, l.Last = wire, wire, wire, wire
}
