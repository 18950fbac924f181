package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// timer is a watcher whose deadline is the wire time of the latest frame, where none was set.
type timer struct{ due unit.Time }

func (w *timer) See(o *event.Observation, _ *base.View, _ event.Emit) { w.due = min(w.due, o.Wire) }

func (w *timer) Due() unit.Time { return w.due }

func (*timer) Expire(unit.Time, *base.View, event.Emit) {}

func TestWhoseDeadlinePassedFirst(t *testing.T) {
	v := base.View{Taps: make([]base.Tap, 2)}
	a, b, c, d := &timer{30}, &timer{20}, &timer{20}, &timer{40}
	all := newAudience([]base.Listed{{Watcher: a, Alone: 1}, {Watcher: b, Alone: 1}, {Watcher: c, Alone: 1}, {Watcher: d}}, 2)
	assert.Nil(t, all.next(20, &v), "20 is not past")
	assert.Same(t, b, all.next(21, &v), "of two, the one that is before the other in the list")
	assert.Same(t, b, all.next(100, &v))
	b.due, c.due = unit.Never, unit.Never
	assert.Same(t, a, all.next(100, &v))

	for _, wire := range []unit.Time{50, 60} { // the first is shown to all: a drill may have been under way
		a.due, b.due, c.due, d.due = unit.Never, unit.Never, unit.Never, unit.Never
		assert.Nil(t, all.next(100, &v))
		all.see(&event.Observation{Kind: event.FrameSeen, Tap: 1, Wire: wire, Frame: &bus.Frame{}}, &v, nil)
		assert.Same(t, a, all.next(100, &v), "a frame brought a deadline")
	}
}
