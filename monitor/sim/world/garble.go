package world

import "benchproof.example/decode/servobus"

// garblePlan is a run of equal wrong frames: well-formed, with values that nobody
// sent or flags that the receiver did not mean.
type garblePlan struct {
	frames int
	counts map[int]uint16 // by channel number, 0..17
	flags  int            // -1: as they are
}

// garble follows a garblePlan on one receiver.
type garble struct {
	plan *garblePlan
	left int
}

// spoil makes a frame wrong, if it is one of them, and says whether it did.
func (g *garble) spoil(f *servobus.Frame) bool {
	if g.left == 0 {
		return false
	}
	g.left--
	counts := bitsOf(f)
	for number, count := range g.plan.counts {
		counts[number] = count
	}
	flags := f.Flags &^ (servobus.FlagCh17 | servobus.FlagCh18)
	if g.plan.flags >= 0 {
		flags = uint8(g.plan.flags)
	}
	spoilt := counts.frame(flags)
	f.Counts, f.Flags = spoilt.Counts, spoilt.Flags
	return true
}
