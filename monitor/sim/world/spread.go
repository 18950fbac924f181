package world

import "math/rand/v2"

// spread is a magnitude that the seed picks: anything from low to high.
type spread struct{ low, high int64 }

// fixed is the same whatever the seed.
func fixed(x int64) spread { return spread{x, x} }

func (s spread) draw(rng *rand.Rand) int64 { return s.low + rng.Int64N(s.high-s.low+1) }

// mirrored is on the other side of a middle.
func (s spread) mirrored(middle int64) spread { return spread{2*middle - s.high, 2*middle - s.low} }
