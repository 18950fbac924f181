package world_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/simtest"
)

// Share and mean run of missed packets, within four standard deviations of
// what the chain should give: runs are geometric, so a cycle of one run and
// one clear stretch is the independent unit.
func TestLossIsAsAsked(t *testing.T) {
	const seconds = 1800
	for _, c := range []struct{ share, burst float64 }{{0.2, 3}, {2, 1}, {10, 8}} {
		t.Run(fmt.Sprint(c), func(t *testing.T) {
			h := simtest.Run(t, fmt.Sprintf("receiver main hold period 1s\nlink main loss %v%% burst %v\n0s signal on\n%ds end", c.share, c.burst, seconds), 11)
			missed := h.When("packet", "main", "missed")
			runs := 1
			for i := 1; i < len(missed); i++ {
				if missed[i]-missed[i-1] > packet*3/2 {
					runs++
				}
			}
			sent := float64(seconds*second) / float64(packet)
			wantRuns := sent * c.share / 100 / c.burst
			require.InDelta(t, wantRuns, runs, 4*math.Sqrt(wantRuns))
			spread := math.Sqrt(c.burst*(c.burst-1)/wantRuns) + 0.01
			assert.InDelta(t, c.burst, float64(len(missed))/float64(runs), 4*spread)
			assert.InDelta(t, c.share/100, float64(len(missed))/sent, 4*c.share/100*math.Sqrt(2/wantRuns))
		})
	}
}

func TestNoLossUnasked(t *testing.T) {
	h := simtest.Run(t, "receiver main hold\n0s signal on\n60s end", 1)
	assert.Empty(t, h.When("packet", "main", "missed"))
	for _, f := range simtest.Between(h.Frames(t, 0), 100*ms, 60*second) {
		require.Zero(t, f.Flags)
	}
}
