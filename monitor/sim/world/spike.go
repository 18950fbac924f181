package world

// spikePlan is a wrong value that a receiver puts out now and then.
type spikePlan struct {
	number int // of the channel, 0..15
	count  uint16
	every  int64 // ns
	frames int
}

// spike follows a spikePlan on one receiver.
type spike struct {
	plan *spikePlan
	next int64
	left int // frames of the spike under way
}

func newSpike(plan *spikePlan) *spike { return &spike{plan: plan, next: plan.every} }

// strikes says whether a frame is hit. It is asked for every frame.
func (s *spike) strikes(now int64) bool {
	for ; s.next <= now; s.next += s.plan.every {
		s.left = s.plan.frames
	}
	s.left--
	return s.left >= 0
}
