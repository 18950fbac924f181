package account

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// mostDated is how many of a sort of happening keep their dates: the latest.
const mostDated = 20

// keepLatest adds one to a list of the latest.
func keepLatest[T any](list []T, one T) []T {
	if list = append(list, one); len(list) > mostDated {
		list = append(list[:0], list[1:]...)
	}
	return list
}

// why nobody listened, as an index of state.BreakReasons.
type why int

const (
	stopped why = iota
	stalled
	unrecorded
)

// broke counts a time up to now in which nobody listened.
func (a *Account) broke(at unit.Time, w why) {
	d := at.Sub(a.Until)
	if d <= 0 {
		return
	}
	switch w {
	case stopped:
		a.Stopped += d
	case stalled:
		a.Stalled += d
	case unrecorded:
		a.Unrecorded += d
	}
	a.Breaks = keepLatest(a.Breaks, state.SoakBreak{FromNS: a.Until, ToNS: at, Why: state.BreakReasons[w]})
}

// went dates a port that goes.
func (t *Tap) went(at unit.Time) {
	t.Unplugs++
	t.Away = keepLatest(t.Away, state.PortAway{FromNS: at, BackNS: -1})
}

// cameBack dates a port that is back.
func (t *Tap) cameBack(at unit.Time) {
	if n := len(t.Away); n > 0 && t.Away[n-1].BackNS < 0 {
		t.Away[n-1].BackNS = at
	}
}

// clockSet dates a clock that was set.
func (a *Account) clockSet(e *event.Event, d *event.ClockData) {
	a.ClockSteps++
	a.Clock = keepLatest(a.Clock, state.ClockStep{AtNS: e.From, StepNS: d.StepNS})
}
