package engine

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/drill/runner"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// drills has the drills watch like a watcher, last in the list: what the view
// says of their tap then holds for the same frame.
type drills struct {
	*runner.Runner

	tap     uint8
	hearing runner.BusState
}

// newDrills makes drills over the first bus tap and the tap on the servo leads.
func newDrills(v *base.View) *drills {
	listened := firstTap(v, "bus")
	x := &drills{Runner: runner.New(v.Sheet, listened, firstTap(v, "pulses"), firstTap(v, "tilt")), tap: listened.Number}
	s := v.Sheet
	x.hearing.Made = func(gesture string) unit.Time { return v.Taps[x.tap].Gestures[gesture] }
	x.hearing.Seen, x.hearing.Lies = v.Seen, v.Lies
	x.hearing.Channels = s.Protocol.LastChannel()
	x.hearing.Width = func(f *bus.Frame, channel int) unit.Width { return base.Width(s, f, channel) }
	return x
}

// firstTap is the first of a kind, or none.
func firstTap(v *base.View, kind string) runner.Tap {
	for i := 1; i < len(v.Taps); i++ {
		if v.Taps[i].Kind == kind {
			return runner.Tap{Number: uint8(i), Name: v.Taps[i].Name}
		}
	}
	return runner.Tap{}
}

// See implements base.Watcher.
func (x *drills) See(o *event.Observation, v *base.View, emit event.Emit) {
	if x.Active() == "" && decoded(o) {
		return
	}
	x.Runner.See(o, x.hears(v), emit)
	x.describe(v)
}

// hears is what the view says of the tap of the drills.
func (x *drills) hears(v *base.View) *runner.BusState {
	t := &v.Taps[x.tap]
	x.hearing.Signal, x.hearing.Suspect = t.Signal, t.Suspect
	x.hearing.Loss, x.hearing.Mode, x.hearing.Pressed = t.Loss, "", t.Pressed
	x.hearing.Phone = v.PhoneThere()
	if t.ModeKnown {
		x.hearing.Mode = t.Mode
	}
	return &x.hearing
}

func (x *drills) describe(v *base.View) {
	v.Drill = x.Active()
	v.Prompt, v.PromptAt = x.Standing()
}

// Expire implements base.Watcher.
func (x *drills) Expire(at unit.Time, v *base.View, emit event.Emit) {
	x.Runner.Expire(at, emit)
	x.describe(v)
}
