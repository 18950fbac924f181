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

	Refused    bus.Refused
	Frames     int64
	Damaged    int64
	Missed     int64 // frames flagged as lost
	Failsafe   int64 // frames flagged so
	GapFrames  int64 // frames that the wire left out, or that were too damaged to be found
	Doubt      int64 // missing lately; a late read may bring them yet
	SettledFor int   // frames since that last changed

	Heard   bool
	Last    unit.Time // wire time of the latest frame
	Pace    event.Pace
	Latest  bus.Frame // not damaged
	Periods state.Histogram
}

// frame takes a frame that was believed.
func (t *BusCounts) frame(f *bus.Frame, wire unit.Time, pace *event.Pace) {
	if t.Heard && !pace.Late {
		t.Periods.Add(wire.Sub(t.Last))
	}
	t.Heard, t.Last, t.Pace = true, wire, *pace
	t.Frames++
	t.gap(pace.Missing)
	if f.Bad {
		t.Damaged++
		return
	}
	t.Latest = *f
	if f.Lost() {
		t.Missed++
	}
	if f.Failsafe() {
		t.Failsafe++
	}
}

// countsForGood is how many frames it takes until a missing one counts for good, so that
// the count never goes down.
const countsForGood = 16

func (t *BusCounts) gap(missing int) {
	t.Doubt += int64(missing)
	t.SettledFor++
	switch {
	case missing != 0:
		t.SettledFor = 0
	case t.SettledFor >= countsForGood:
		t.GapFrames += max(0, t.Doubt)
		t.Doubt = 0
	}
}
