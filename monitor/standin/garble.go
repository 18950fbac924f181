package standin

import "benchproof.example/decode/servobus"

// garblePlan is a run of equal wrong frames: well-formed, with values that nobody
// sent or flags that the receiver did not mean.
type garblePlan struct {
	frames int
	counts map[int]uint16 // by channel number, 0..15
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
	for number, count := range g.plan.counts {
		f.Counts[number] = count
	}
	if g.plan.flags >= 0 {
		f.Flags = uint8(g.plan.flags)
	}
	return true
}
