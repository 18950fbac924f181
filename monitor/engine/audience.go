package engine

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// audience has the watchers, in the order of the list, by what they are shown.
type audience struct {
	all   []base.Watcher
	of    [][]base.Watcher // by tap: those that what its decoder makes of bytes is shown to
	timed []base.Timed     // those that ask for deadlines
	due   unit.Time        // no deadline is earlier
	drill bool             // one was under way when the last observation was shown, or it is not known
}

func newAudience(list []base.Listed, taps int) audience {
	a := audience{of: make([][]base.Watcher, taps), drill: true}
	for _, w := range list {
		a.all = append(a.all, w.Watcher)
		if t, ok := w.Watcher.(base.Timed); ok {
			a.timed = append(a.timed, t)
		}
		for tap := range a.of {
			if w.Alone == 0 || int(w.Alone) == tap {
				a.of[tap] = append(a.of[tap], w.Watcher)
			}
		}
	}
	return a
}

// see shows an observation to those that it may concern. In a drill, and once behind it,
// that is all of them: they follow its prompts.
func (a *audience) see(o *event.Observation, v *base.View, emit event.Emit) {
	list := a.all
	if decoded(o) && !a.drill && v.Drill == "" {
		list = a.of[o.Tap]
	}
	a.drill = v.Drill != ""
	for _, w := range list {
		w.See(o, v, emit)
	}
	for _, w := range a.timed {
		a.due = min(a.due, w.Due())
	}
}

// decoded reports that an observation is what a decoder made of bytes.
func decoded(o *event.Observation) bool { return o.Kind >= event.FrameSeen }

// next is the watcher whose deadline passed first before t, or nil.
func (a *audience) next(t unit.Time) (first base.Timed) {
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
	return first
}
