package link

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// onTimeAgain is how long frames come on time until a late delivery is over: a computer
// that catches up may be called away in the middle of it.
const onTimeAgain = 100 * unit.Millisecond

// lateGoesOn is after how long late deliveries that do not end are reported, and again each
// time: a port may hand over in batches for good.
const lateGoesOn = 5 * unit.Second

// Late says that frames were delivered late: the computer or its adapter stood still,
// or much lay waiting when the tap was opened. What came in that time has no dates of
// its own.
//
//	frames   | | | | |                 |||||||||||||||| | | | |
//	                 ^ onset           ^--------------^   ^ reported
//
// A port may hand over in batches for good: then what was late is reported every few seconds.
//
// Whether frames that come at once are more than a clump is known some frames later;
// the first of them are counted then.
type Late struct {
	Tap   uint8
	Since unit.Time // date of the last frame, or of the tap's coming up
	Heard bool      // it was a frame
	Was   bool      // and late
	Run   event.LateData
	Begun unit.Time // date of the frame before the run of those that came at once
	Data  event.LateData
	From  unit.Time // date of the frame before the first that was late
	First unit.Time // date of the first that was
	Date  unit.Time // of the latest that was
}

// See implements Watcher.
func (l *Late) See(o *event.Observation, v *base.View, emit event.Emit) {
	switch {
	case base.TapClosed(o, l.Tap):
		l.report(v, emit)
		l.Heard, l.Since = false, o.At
	case o.Tap != l.Tap:
	case o.Kind == event.InputTapUp:
		l.Heard, l.Since = false, o.At
	case o.Kind == event.FrameSeen:
		l.frame(o, v, emit)
	}
}

func (l *Late) frame(o *event.Observation, v *base.View, emit event.Emit) {
	if o.Pace.Run == 1 {
		l.Begun, l.Run = l.Since, event.LateData{SilentNS: o.At.Sub(l.Since), Opened: !l.Heard}
	}
	if o.Pace.Late {
		if !l.Was && l.another(o) {
			l.report(v, emit)
		}
		l.late(o)
	}
	l.Since, l.Heard, l.Was = o.At, true, o.Pace.Late
}

// another reports a late delivery that is to be told apart from the one before: what lay
// waiting at the beginning is over, or late deliveries have gone on for long.
func (l *Late) another(o *event.Observation) bool {
	return l.Data.Opened && l.Run.SilentNS > onTimeAgain || o.At.Sub(l.First) >= lateGoesOn
}

func (l *Late) late(o *event.Observation) {
	if l.Data.Frames == 0 {
		l.From, l.First, l.Data = l.Begun, o.At, l.Run
	}
	if !l.Was { // it is known with this one: those before it are late too
		l.Data.Frames += int64(o.Pace.Run) - 1
	}
	l.Data.Frames++
	l.Date = o.At
}

func (l *Late) report(v *base.View, emit event.Emit) {
	if l.Data.Frames > 0 {
		emit(event.BusLate, l.From, v.Taps[l.Tap].About(), l.Data)
	}
	l.Data = event.LateData{}
}

// Due implements base.Timed.
func (l *Late) Due() unit.Time {
	if l.Data.Frames == 0 {
		return unit.Never
	}
	return l.Date.Add(onTimeAgain)
}

// Expire implements base.Timed.
func (l *Late) Expire(_ unit.Time, v *base.View, emit event.Emit) { l.report(v, emit) }
