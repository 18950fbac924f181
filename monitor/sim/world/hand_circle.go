package world

import "time"

// runsIn is how long a hand takes to the rim before it circles, ns (an assumption).
const runsIn = int64(300 * time.Millisecond)

// How far a circle goes of the way to the stops, parts per million (assumptions).
const (
	circlesFrom = int64(600_000)
	circlesTo   = million + 1
)

// orbit is one axis of a stick that goes round.
type orbit struct {
	every int64 // ns for a turn
	lead  int64 // of a turn, ns: where it starts
	reach int64 // parts per million of the way from its middle to the nearer stop
	lasts int64
}

// circle has the stick go round, and then back to where it was meant to be.
func (h *hand) circle(now int64, o orbit) {
	from := h.halt(now)
	middle := (h.plan.Low + h.plan.High) / 2
	radius := (h.plan.High - h.plan.Low) / 2 * o.reach / million
	round := func(since int64) int64 {
		return middle + radius*sine((since+o.lead)%o.every, o.every)/million
	}
	h.run(now, from, round(0), runsIn, nil)
	h.then = func(at int64) {
		h.run(at, round(0), round(o.lasts), o.lasts, round)
		h.then = func(at int64) { h.course(at, h.to, h.aim(h.meant), letGo) }
	}
}
