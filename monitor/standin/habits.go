package standin

import "math/rand/v2"

// habits is how the hands go about what they are told.
type habits struct {
	steady bool // no tremor, no miss
	varied bool // speeds, dwells, reactions and rests differ from seed to seed
}

// asTold is the pace of hands that take just the time they are told.
const asTold = 1000

// pace is the time a hand takes for everything, per mille of the time it is
// told. Varied hands take 0.6 to 1.1 of it (an assumption).
func (h habits) pace(rng *rand.Rand) int64 {
	if !h.varied {
		return asTold
	}
	return 600 + rng.Int64N(501)
}
