package world

import (
	"math/rand/v2"
	"time"

	"benchproof.example/decode/scale"
)

// stabiliserPlan is what a stabiliser before the tap does to a receiver's
// values. Without channels there is none.
type stabiliserPlan struct {
	numbers []int // of the channels that it moves, 0..15
	within  int64 // counts
	always  bool  // not in failsafe alone
}

func (p *stabiliserPlan) moves(number int) bool {
	for _, n := range p.numbers {
		if n == number {
			return true
		}
	}
	return false
}

// stabiliser moves values a little without end: a model on a bench is never
// quite still.
type stabiliser struct {
	plan    stabiliserPlan
	wanders []*wander // like plan.numbers
}

func newStabiliser(plan stabiliserPlan, rng *rand.Rand) stabiliser {
	s := stabiliser{plan: plan}
	for range plan.numbers {
		s.wanders = append(s.wanders, &wander{rng: rng, within: plan.within})
	}
	return s
}

func (s *stabiliser) wander(now int64, failsafe bool, counts *values) {
	if !failsafe && !s.plan.always {
		return
	}
	for i, number := range s.plan.numbers {
		moved := int64(counts[number]) + s.wanders[i].off(now)
		counts[number] = uint16(min(max(moved, 0), scale.MaxCount))
	}
}

// One leg of a wander takes from strayFrom to strayTo (an assumption).
const (
	strayFrom = int64(400 * time.Millisecond)
	strayTo   = int64(1500 * time.Millisecond)
)

// wander goes smoothly from one random place to the next.
type wander struct {
	rng          *rand.Rand
	within       int64 // of 0
	from, to     int64
	began, takes int64 // ns
}

// off is where it is. Times must not decrease from call to call.
func (w *wander) off(now int64) int64 {
	for now >= w.began+w.takes {
		w.began += w.takes
		w.takes = strayFrom + w.rng.Int64N(strayTo-strayFrom)
		w.from, w.to = w.to, w.rng.Int64N(2*w.within+1)-w.within
	}
	return minimumJerk(w.from, w.to, now-w.began, w.takes)
}
