package sheet

import (
	"fmt"

	"benchproof.example/monitor/unit"
)

// mostSides is on how many sides a receiver is laid at most (common practice: a box has six).
const mostSides = 6

// Levelling is how a receiver learns what level is. Words are shown as they are.
type Levelling struct {
	Starts string        // how it is begun
	Sides  []string      // how the model lies in turn, one to six
	Rests  unit.Duration // how long it lies still on each
	Ends   string        // how it ends, "" where the sheet does not say

	AfterPowerUp unit.Duration // how long it is to lie still once it is switched on; 0: the sheet does not say
}

func (r *reader) levelling(n *node) {
	if n == nil {
		return
	}
	l := &Levelling{}
	r.sheet.Levelling = l
	rec := r.record(n, "levelling")
	l.Starts, _ = r.text(rec.get("starts"))
	sides := rec.get("sides")
	for _, item := range r.list(sides) {
		if side, ok := r.text(item); ok {
			l.Sides = append(l.Sides, side)
		}
	}
	if len(l.Sides) > mostSides {
		r.refuse(sides, fmt.Sprintf("%d sides", len(l.Sides)), fmt.Sprintf("one to %d", mostSides))
	}
	l.Rests, _ = r.duration(rec.get("rests"))
	l.Ends, _ = r.text(rec.get("ends"))
	l.AfterPowerUp, _ = r.duration(rec.get("still_after_power_up"))
}
