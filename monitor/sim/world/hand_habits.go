package world

import "math/rand/v2"

// HandHabits is how the hands go about what they are asked.
type HandHabits struct {
	Steady bool // no tremor, no miss
	Varied bool // speeds, dwells, reactions and rests differ from seed to seed
}

// nominalPace is the pace of hands that take just the time they are given.
const nominalPace = 1000

// pace is the time a hand takes for everything, per mille of the time it is
// told. Varied hands take 0.6 to 1.1 of it (an assumption).
func (h HandHabits) pace(rng *rand.Rand) int64 {
	if !h.Varied {
		return nominalPace
	}
	return 600 + rng.Int64N(501)
}
