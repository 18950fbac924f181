package world

import (
	"math/rand/v2"
	"time"
)

// TremblePlan is a control that flickers by one count now and then, at rest too.
type TremblePlan struct {
	Channel int
	Every   Spread // ns
}

// A flicker lasts from flickerFrom to flickerTo (assumptions).
const (
	flickerFrom = int64(10 * time.Millisecond)
	flickerTo   = int64(60 * time.Millisecond)
)

// tremble follows a TremblePlan.
type tremble struct {
	plan *TremblePlan
	rng  *rand.Rand
	next int64 // when it flickers or stops to
	off  int   // counts: -1, 0, 1
}

func newTremble(plan *TremblePlan, rng *rand.Rand) *tremble {
	return &tremble{plan: plan, rng: rng, next: plan.Every.draw(rng)}
}

// shift is by how much the count is off. Times must not decrease from call to call.
func (t *tremble) shift(now int64) int {
	for now >= t.next {
		if t.off != 0 {
			t.off, t.next = 0, t.next+t.plan.Every.draw(t.rng)
			continue
		}
		t.off = 1 - 2*t.rng.IntN(2)
		t.next += flickerFrom + t.rng.Int64N(flickerTo-flickerFrom)
	}
	return t.off
}
