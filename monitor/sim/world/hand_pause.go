package world

import "time"

// A hand that pauses comes to a stop in a time from brakesFrom to brakesTo
// (assumptions).
const (
	brakesFrom = int64(60 * time.Millisecond)
	brakesTo   = int64(150 * time.Millisecond)
)

// pause has a hand that stirs stop where it is, and go on after a while. What else a
// hand does goes on.
func (h *hand) pause(now, lasts int64) {
	until := h.wiggleEnd
	if now >= until {
		return
	}
	from := h.halt(now)
	h.wiggleEnd = until
	brakes := brakesFrom + h.rng.Int64N(brakesTo-brakesFrom)
	h.run(now, from, from+(h.to-from)/8, brakes, nil)
	h.then, h.dwell = h.goOnWiggling, max(lasts-brakes, 1)
}
