package world_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/simtest"
)

func TestLeverDwellsInTheMiddle(t *testing.T) {
	dwells := map[int64]bool{}
	for seed := range uint64(20) {
		h := simtest.Run(t, simtest.Rig+"0s signal on\n1s inner front\n3s inner middle\n4s end", seed)
		middle, front := h.When("switch", "inner", "middle"), h.When("switch", "inner", "front")
		require.Equal(t, []int64{second, 3 * second}, middle)
		require.Len(t, front, 1)
		dwell := front[0] - middle[0]
		require.GreaterOrEqual(t, dwell, 30*ms)
		require.LessOrEqual(t, dwell, 120*ms)
		dwells[dwell] = true

		seen := []uint32{}
		for _, f := range simtest.Between(h.Frames(t, 0), 100*ms, 4*second) {
			if n := len(seen); n == 0 || seen[n-1] != f.Counts[10] {
				seen = append(seen, f.Counts[10])
			}
		}
		require.Equal(t, []uint32{simtest.Count(988), simtest.Count(1500), simtest.Count(2012), simtest.Count(1500)}, seen, "steps, nothing between")
	}
	assert.Greater(t, len(dwells), 10)
}

// A lever that is pulled back on its way never gets to where it was going.
func TestLeverTurnsBack(t *testing.T) {
	h := simtest.Run(t, simtest.Rig+"0s signal on\n1s inner front\n1.02s inner back\n2s end", 1)
	assert.Equal(t, []int64{second}, h.When("switch", "inner", "middle"))
	assert.Equal(t, []int64{1020 * ms}, h.When("switch", "inner", "back"))
	assert.Empty(t, h.When("switch", "inner", "front"))
}

func TestPressSpringsBack(t *testing.T) {
	h := simtest.Run(t, simtest.Rig+"0s signal on\n1s press teach for 300ms\n2s end", 1)
	assert.Equal(t, []int64{second}, h.When("switch", "teach", "pressed"))
	assert.Equal(t, []int64{1300 * ms}, h.When("switch", "teach", "rest"))
	for _, f := range simtest.Between(h.Frames(t, 0), 100*ms, 2*second) {
		if f.At > 1020*ms && f.At < 1300*ms {
			require.Equal(t, simtest.Count(2012), f.Counts[14])
		}
		if f.At < second || f.At > 1320*ms {
			require.Equal(t, simtest.Count(988), f.Counts[14])
		}
	}
}
