package world

import (
	"math/rand/v2"
	"time"
)

// StabiliserPlan is what a stabiliser before the tap does to a receiver's
// values. Without channels there is none.
type StabiliserPlan struct {
	Numbers []int // of the channels that it moves, 0..15
	Within  int64 // ns
	Always  bool  // not in failsafe alone
}

func (p *StabiliserPlan) moves(number int) bool {
	for _, n := range p.Numbers {
		if n == number {
			return true
		}
	}
	return false
}

// stabiliser moves values a little without end: a model on a bench is never
// quite still.
type stabiliser struct {
	plan    StabiliserPlan
	wanders []*wander // like plan.numbers
}

func newStabiliser(bench *Plan, plan StabiliserPlan, rng *rand.Rand) stabiliser {
	s := stabiliser{plan: plan}
	within := max(plan.Within/bench.Scale.PerCount(), 1)
	for range plan.Numbers {
		s.wanders = append(s.wanders, &wander{rng: rng, within: within})
	}
	return s
}

func (s *stabiliser) wander(now int64, failsafe bool, counts *values) {
	if !failsafe && !s.plan.Always {
		return
	}
	for i, number := range s.plan.Numbers {
		moved := int64(counts[number]) + s.wanders[i].off(now)
		counts[number] = uint32(min(max(moved, 0), MaxCount))
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
