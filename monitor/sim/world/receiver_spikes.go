package world

// SpikePlan is a wrong value that a receiver puts out now and then.
type SpikePlan struct {
	Number int   // of the channel, 0..15
	Width  int64 // ns
	Every  int64 // ns
	Frames int
}

// spike follows a SpikePlan on one receiver.
type spike struct {
	plan *SpikePlan
	next int64
	left int // frames of the spike under way
}

func newSpike(plan *SpikePlan) *spike { return &spike{plan: plan, next: plan.Every} }

// strikes says whether a frame is hit. It is asked for every frame.
func (s *spike) strikes(now int64) bool {
	for ; s.next <= now; s.next += s.plan.Every {
		s.left = s.plan.Frames
	}
	s.left--
	return s.left >= 0
}
