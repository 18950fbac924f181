package world

import "time"

// path is where a stick is, ns of width, so long after its course began.
type path func(since int64) int64

// A gimbal that is let go at a stop is back after a time from springFrom to
// springTo (assumptions).
const (
	springFrom = int64(60 * time.Millisecond)
	springTo   = int64(100 * time.Millisecond)
)

// slam throws the stick to a width, where it stops from full speed as on a gate. It
// is held there for lasts, 0: for ever, and then springs back to where it stood at
// first. The time is just that, whatever the hand's pace, so that two axes of one
// gimbal stop together.
func (h *hand) slam(now, to, over, lasts int64) {
	from := h.halt(now)
	h.meant = to
	h.run(now, from, to, over, func(since int64) int64 {
		s := part(since, over)
		return from + (to-from)*s*s/(whole*whole)
	})
	if lasts > 0 {
		h.then, h.dwell = h.spring, lasts
	}
}

// spring lets the stick go.
func (h *hand) spring(now int64) {
	h.meant = h.plan.Start
	h.run(now, h.to, h.aim(h.plan.Start), springFrom+h.rng.Int64N(springTo-springFrom), nil)
}
