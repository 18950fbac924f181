package world

import "math/rand/v2"

// Spread is a magnitude that the seed picks: anything from low to high.
type Spread struct{ Low, High int64 }

// Fixed is the same whatever the seed.
func Fixed(x int64) Spread { return Spread{x, x} }

func (s Spread) draw(rng *rand.Rand) int64 { return s.Low + rng.Int64N(s.High-s.Low+1) }

// Mirrored is on the other side of a middle.
func (s Spread) Mirrored(middle int64) Spread { return Spread{2*middle - s.High, 2*middle - s.Low} }
