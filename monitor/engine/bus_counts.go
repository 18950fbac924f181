package engine

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// BusCounts counts what came through a bus tap, for those who look from outside.
// Judgement does not read it, so it goes on where judgement begins afresh. Its
// exported fields are what a checkpoint keeps.
type BusCounts struct {
	PortCounts

	state.FrameTally
	Refused bus.Refused

	Heard   bool
	Last    unit.Time // wire time of the latest frame
	Pace    event.Pace
	Latest  bus.Frame // not damaged
	Periods state.Histogram
}

// frame takes a frame that was believed. Repeats says that the one before had the same in it.
func (t *BusCounts) frame(f *bus.Frame, repeats bool, wire unit.Time, pace *event.Pace) {
	if t.Heard && !pace.Late {
		t.Periods.Add(wire.Sub(t.Last))
	}
	t.Heard, t.Last, t.Pace = true, wire, *pace
	t.Frames++
	if f.Bad {
		t.Damaged++
		return
	}
	if !repeats || t.Latest.Private != f.Private {
		t.Latest = *f
	}
	if f.Lost() {
		t.Missed++
	}
	if f.Failsafe() {
		t.Failsafe++
	}
}
