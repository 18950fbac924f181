package watch

import "benchproof.example/monitor/fact"

// twice is how many frames in a row say so before a flag is believed: one frame
// settles nothing.
const twice = 2

// Failsafe dates what the failsafe flag says. Switching off is not on the wire,
// so times count from the last frame known live.
//
//	flags     . . . L L L L F F F F F . . .
//	              ^         ^ ^       ^ ^
//	      last live     onset entered | left
//	                              first live
type Failsafe struct {
	Tap       uint8
	Entered   bool
	Run       int // frames in a row that contradict Entered
	RunFrom   fact.Time
	RunLive   bool // the first of them carried the transmitter's values
	LiveSeen  bool
	LastLive  fact.Time // wire; of a frame with neither flag
	FlagSince fact.Time
	Last      fact.Time // wire; of the latest frame
}

// See implements Watcher.
func (f *Failsafe) See(o *fact.Observation, v *View, emit fact.Emit) {
	if over(o, f.Tap) {
		f.Run = 0
		return
	}
	if !judged(o, f.Tap) {
		return
	}
	if o.Wire-f.Last > restarted {
		f.LiveSeen = false
	}
	f.Last = o.Wire
	if o.Frame.Failsafe() == f.Entered {
		f.Run = 0
	} else {
		f.contradict(o, v, emit)
	}
	signal := signalOf(o.Frame)
	if signal == fact.Live && !f.Entered && f.Run == 0 {
		f.LiveSeen, f.LastLive = true, o.Wire
	}
	if o.Frame.Failsafe() != f.Entered { // one frame alone
		return
	}
	v.Taps[f.Tap].Signal = signal
}

func (f *Failsafe) contradict(o *fact.Observation, v *View, emit fact.Emit) {
	if f.Run == 0 {
		f.RunFrom, f.RunLive = o.Wire, signalOf(o.Frame) == fact.Live
	}
	if f.Run++; f.Run < twice {
		return
	}
	f.Run = 0
	about := v.Taps[f.Tap].About()
	if f.Entered {
		f.Entered = false
		d := fact.FailsafeData{LiveNS: -1, AfterNS: f.RunFrom - f.FlagSince, BeforeLink: !f.LiveSeen}
		if f.RunLive {
			d.LiveNS = f.RunFrom
		}
		emit(fact.FailsafeLeft, f.RunFrom, about, d)
		return
	}
	f.Entered, f.FlagSince = true, f.RunFrom
	d := fact.FailsafeData{LiveNS: -1, AfterNS: -1, BeforeLink: !f.LiveSeen}
	if f.LiveSeen {
		d.LiveNS, d.AfterNS = f.LastLive, f.RunFrom-f.LastLive
	}
	emit(fact.FailsafeEntered, f.RunFrom, about, d)
}

// Due implements Watcher.
func (f *Failsafe) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (f *Failsafe) Expire(fact.Time, *View, fact.Emit) {}
