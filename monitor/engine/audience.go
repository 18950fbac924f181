package engine

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// audience has the watchers, in the order of the list, by what they are shown.
type audience struct {
	all   []base.Watcher
	of    []tapAudience // by tap: those that what its decoder makes of bytes is shown to
	timed []base.Timed  // those that ask for deadlines
	due   unit.Time     // no deadline is earlier
	drill bool          // one was under way when the last observation was shown, or it is not known
}

func newAudience(list []base.Listed, taps int) audience {
	a := audience{drill: true}
	for _, w := range list {
		a.all = append(a.all, w.Watcher)
		if t, ok := w.Watcher.(base.Timed); ok {
			a.timed = append(a.timed, t)
		}
	}
	for tap := range taps {
		a.of = append(a.of, newTapAudience(list, uint8(tap)))
	}
	return a
}

// see shows an observation to those that it may concern. In a drill, and once behind it,
// that is all of them: they follow its prompts.
func (a *audience) see(o *event.Observation, v *base.View, emit event.Emit) {
	alone := decoded(o) && !a.drill && v.Drill == ""
	a.drill = v.Drill != ""
	if alone {
		a.due = min(a.due, a.of[o.Tap].see(o, v, emit))
		return
	}
	a.wake(v)
	for i := range a.of {
		a.of[i].interrupted(o)
	}
	for _, w := range a.all {
		w.See(o, v, emit)
	}
	for _, w := range a.timed {
		a.due = min(a.due, w.Due())
	}
}

// decoded reports that an observation is what a decoder made of bytes.
func decoded(o *event.Observation) bool { return o.Kind >= event.FrameSeen }

// wake has all that sleep take what they were not shown.
func (a *audience) wake(v *base.View) {
	for i := range a.of {
		a.of[i].wake(v)
	}
}

// keepAwake has nobody sleep from here on.
func (a *audience) keepAwake(v *base.View) {
	a.wake(v)
	for i := range a.of {
		a.of[i].wakeful = true
	}
}

// next is the watcher whose deadline passed first before t, or nil. None sleeps then.
func (a *audience) next(t unit.Time, v *base.View) (first base.Timed) {
	if a.due >= t {
		return nil
	}
	a.due = unit.Never
	for _, w := range a.timed {
		due := w.Due()
		a.due = min(a.due, due)
		if due < t {
			first, t = w, due
		}
	}
	if first != nil {
		a.wake(v)
	}
	return first
}
