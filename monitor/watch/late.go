package watch

import "benchproof.example/monitor/fact"

// onTimeAgain is how long frames come on time until a late delivery is over: a computer
// that catches up may be called away in the middle of it.
const onTimeAgain = 100 * fact.Millisecond

// Late says that frames were delivered late: the computer or its adapter stood still,
// or much lay waiting when the tap was opened. What came in that time has no dates of
// its own.
//
//	frames   | | | | |                 |||||||||||||||| | | | |
//	                 ^ onset           ^--------------^   ^ told
//
// Whether frames that come at once are more than a clump is known some frames later;
// the first of them are counted then.
type Late struct {
	Tap   uint8
	Since fact.Time // date of the last frame, or of the tap's coming up
	Heard bool      // it was a frame
	Was   bool      // and late
	Run   fact.LateData
	Begun fact.Time // date of the frame before the run of those that came at once
	Data  fact.LateData
	From  fact.Time // date of the frame before the first that was late
	Date  fact.Time // of the latest that was
}

// See implements Watcher.
func (l *Late) See(o *fact.Observation, v *View, emit fact.Emit) {
	switch {
	case TapEnds(o, l.Tap):
		l.report(v, emit)
		l.Heard, l.Since = false, o.At
	case o.Tap != l.Tap:
	case o.Kind == fact.TapUp:
		l.Heard, l.Since = false, o.At
	case o.Kind == fact.FrameSeen:
		l.frame(o)
	}
}

func (l *Late) frame(o *fact.Observation) {
	if o.Pace.Run == 1 {
		l.Begun, l.Run = l.Since, fact.LateData{SilentNS: o.At - l.Since, Opened: !l.Heard}
	}
	if o.Pace.Late {
		l.late(o)
	}
	l.Since, l.Heard, l.Was = o.At, true, o.Pace.Late
}

func (l *Late) late(o *fact.Observation) {
	if l.Data.Frames == 0 {
		l.From, l.Data = l.Begun, l.Run
	}
	if !l.Was { // it is known with this one: those before it are late too
		l.Data.Frames += int64(o.Pace.Run) - 1
	}
	l.Data.Frames++
	l.Date = o.At
}

func (l *Late) report(v *View, emit fact.Emit) {
	if l.Data.Frames > 0 {
		emit(fact.BusLate, l.From, v.Taps[l.Tap].About(), l.Data)
	}
	l.Data = fact.LateData{}
}

// Due implements Watcher.
func (l *Late) Due() fact.Time {
	if l.Data.Frames == 0 {
		return fact.Never
	}
	return l.Date + onTimeAgain
}

// Expire implements Watcher.
func (l *Late) Expire(_ fact.Time, v *View, emit fact.Emit) { l.report(v, emit) }
