package world

import (
	"math/rand/v2"
	"time"
)

// The habits of an adapter without a long timer (assumptions, after what a
// 1 ms timer does: a frame comes in up to four reads).
const (
	mostPieces = 4
	lagFrom    = int64(100 * time.Microsecond)
	lagTo      = int64(1500 * time.Microsecond)
)

// promptAdapter is an adapter that hands over each frame or line in one to four pieces,
// soon after they came.
type promptAdapter struct {
	packet
	out  *outlet
	rng  *rand.Rand
	kind adapterKind
	size int   // of the pieces of this burst
	last int64 // when the last character came
}

// idle is the pause after which it waits for no further character, ns.
func (a *promptAdapter) idle() int64 { return 2 * a.kind.char }

func (a *promptAdapter) receive(c char) {
	if c.at-a.last >= a.idle() {
		pieces := 1 + a.rng.IntN(mostPieces)
		a.size = (a.kind.burst + pieces - 1) / pieces
	}
	a.last = c.at
	a.add(c)
	if len(a.data) == a.size {
		a.hand(c.at)
	}
}

func (a *promptAdapter) due() int64 {
	if len(a.data) == 0 {
		return Never
	}
	return a.last + a.idle()
}

func (a *promptAdapter) act() { a.hand(a.last + a.idle()) }

func (a *promptAdapter) hand(now int64) {
	lag := lagFrom + a.rng.Int64N(lagTo-lagFrom)
	a.send(max(now, a.last+lag), a.out)
}

func (a *promptAdapter) lose() { a.packet = packet{} }
