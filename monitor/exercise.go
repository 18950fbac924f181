package monitor

import (
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/watch"
)

// exercise has the drills watch like a watcher, last in the list: what the view
// says of their tap then holds for the same frame.
type exercise struct {
	*drill.Runner

	tap     uint8
	hearing drill.Hearing
}

// newExercise makes drills over the first bus tap.
func newExercise(v *watch.View) *exercise {
	tap, name := uint8(0), ""
	for i := len(v.Taps) - 1; i > 0; i-- {
		if v.Taps[i].Kind == "bus" {
			tap, name = uint8(i), v.Taps[i].Name
		}
	}
	x := &exercise{Runner: drill.New(v.Sheet, tap, name), tap: tap}
	s := v.Sheet
	x.hearing.Width = func(f *servobus.Frame, channel int) int64 { return watch.Width(s, f, channel) }
	return x
}

// See implements watch.Watcher.
func (x *exercise) See(o *fact.Observation, v *watch.View, emit fact.Emit) {
	t := &v.Taps[x.tap]
	x.hearing.Signal, x.hearing.Suspect = t.Signal, t.Suspect
	x.hearing.Loss = t.Loss
	x.Runner.See(o, &x.hearing, emit)
	x.tell(v)
}

func (x *exercise) tell(v *watch.View) {
	v.Drill = x.Active()
	v.Prompt, v.PromptAt = x.Standing()
}

// Expire implements watch.Watcher.
func (x *exercise) Expire(at fact.Time, v *watch.View, emit fact.Emit) {
	x.Runner.Expire(at, emit)
	x.tell(v)
}
