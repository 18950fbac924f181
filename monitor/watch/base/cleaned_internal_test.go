package base

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/fit/median"
)

// The middle count is what sorting gives.
func TestMiddleIsTheMedian(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		around := make([]CleanFrame, 1+rng.IntN(median.Window))
		var counts []uint32
		for i := range around {
			around[i].Counts[3] = 900 + rng.Uint32N(4)
			counts = append(counts, around[i].Counts[3])
		}
		slices.Sort(counts)
		require.Equal(t, counts[(len(counts)-1)/2], middle(around, 3), counts)
	}
}
