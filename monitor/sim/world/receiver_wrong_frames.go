package world

import "benchproof.example/decode/bus"

// GarblePlan is a run of equal wrong frames: well-formed, with values that nobody
// sent or flags that the receiver did not mean.
type GarblePlan struct {
	Frames int
	Widths map[int]int64 // ns, by channel number, 0..17
	Flags  *FlagSet      // nil: as they are
}

// garble follows a GarblePlan on one receiver.
type garble struct {
	bench *Plan
	plan  *GarblePlan
	left  int
}

// spoil makes a frame wrong, if it is one of them, and says whether it did.
func (g *garble) spoil(f *bus.Frame) bool {
	if g.left == 0 {
		return false
	}
	g.left--
	counts := bitsOf(f)
	for number, width := range g.plan.Widths {
		counts[number] = g.bench.count(width)
	}
	flags := f.Flags &^ (bus.Digital(0) | bus.Digital(1))
	if g.plan.Flags != nil {
		flags = bus.Flags(*g.plan.Flags)
	}
	spoilt := counts.frame(flags)
	f.Counts, f.Flags = spoilt.Counts, spoilt.Flags
	return true
}
