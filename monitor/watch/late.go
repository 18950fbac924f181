package watch

import "benchproof.example/monitor/fact"

// caughtUp is how long frames come on time until a late delivery is over: a computer
// that catches up may be called away in the middle of it.
const caughtUp = 100 * fact.Millisecond

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
	Tap    uint8
	Since  fact.Time // date of the last frame, or of the tap's coming up
	Heard  bool      // it was a frame
	Doubt  fact.LateData
	Before fact.Time // date of the frame before those in doubt
	Data   fact.LateData
	From   fact.Time // date of the frame before the first that was late
	Date   fact.Time // of the latest that was
}

// See implements Watcher.
func (l *Late) See(o *fact.Observation, v *View, emit fact.Emit) {
	switch {
	case over(o, l.Tap):
		l.tell(v, emit)
		l.Doubt, l.Heard, l.Since = fact.LateData{}, false, o.At
	case o.Tap != l.Tap:
	case o.Kind == fact.TapUp:
		l.Heard, l.Since = false, o.At
	case o.Kind == fact.FrameSeen:
		l.frame(o)
	}
}

func (l *Late) frame(o *fact.Observation) {
	if !o.Pace.Late && !o.Pace.Unsure {
		l.Doubt = fact.LateData{}
	} else {
		if l.Doubt.Frames == 0 {
			l.Before, l.Doubt.SilentNS, l.Doubt.Opened = l.Since, o.At-l.Since, !l.Heard
		}
		l.Doubt.Frames++
	}
	if o.Pace.Late {
		l.late(o)
	}
	l.Since, l.Heard = o.At, true
}

func (l *Late) late(o *fact.Observation) {
	if l.Data.Frames == 0 {
		l.From, l.Data = l.Before, l.Doubt
	} else {
		l.Data.Frames += l.Doubt.Frames
	}
	l.Doubt, l.Date = fact.LateData{}, o.At
}

func (l *Late) tell(v *View, emit fact.Emit) {
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
	return l.Date + caughtUp
}

// Expire implements Watcher.
func (l *Late) Expire(_ fact.Time, v *View, emit fact.Emit) { l.tell(v, emit) }
