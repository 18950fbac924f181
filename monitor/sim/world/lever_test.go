package world_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLeverDwellsInTheMiddle(t *testing.T) {
	dwells := map[int64]bool{}
	for seed := range uint64(20) {
		h := run(t, rig+"0s signal on\n1s inner front\n3s inner middle\n4s end", seed)
		middle, front := h.when("switch", "inner", "middle"), h.when("switch", "inner", "front")
		require.Equal(t, []int64{second, 3 * second}, middle)
		require.Len(t, front, 1)
		dwell := front[0] - middle[0]
		require.GreaterOrEqual(t, dwell, 30*ms)
		require.LessOrEqual(t, dwell, 120*ms)
		dwells[dwell] = true

		seen := []uint16{}
		for _, f := range between(h.frames(t, 0), 100*ms, 4*second) {
			if n := len(seen); n == 0 || seen[n-1] != f.Counts[10] {
				seen = append(seen, f.Counts[10])
			}
		}
		require.Equal(t, []uint16{count(988), count(1500), count(2012), count(1500)}, seen, "steps, nothing between")
	}
	assert.Greater(t, len(dwells), 10)
}

// A lever that is pulled back on its way never gets to where it was going.
func TestLeverTurnsBack(t *testing.T) {
	h := run(t, rig+"0s signal on\n1s inner front\n1.02s inner back\n2s end", 1)
	assert.Equal(t, []int64{second}, h.when("switch", "inner", "middle"))
	assert.Equal(t, []int64{1020 * ms}, h.when("switch", "inner", "back"))
	assert.Empty(t, h.when("switch", "inner", "front"))
}

func TestPressSpringsBack(t *testing.T) {
	h := run(t, rig+"0s signal on\n1s press teach for 300ms\n2s end", 1)
	assert.Equal(t, []int64{second}, h.when("switch", "teach", "pressed"))
	assert.Equal(t, []int64{1300 * ms}, h.when("switch", "teach", "rest"))
	for _, f := range between(h.frames(t, 0), 100*ms, 2*second) {
		if f.at > 1020*ms && f.at < 1300*ms {
			require.Equal(t, count(2012), f.Counts[14])
		}
		if f.at < second || f.at > 1320*ms {
			require.Equal(t, count(988), f.Counts[14])
		}
	}
}
