package world_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/simtest"
)

// A gimbal comes back to within 2 µs, which are 3.2 counts, and not always to
// the same; steady hands bring it back exactly.
func TestRelease(t *testing.T) {
	const steps = "0s signal on\n1s stick aileron 1900 over 300ms\n2s release aileron\n3s end"
	rests := map[uint32]bool{}
	for seed := range uint64(100) {
		frames := simtest.Run(t, simtest.Rig+steps, seed).Frames(t, 0)
		at := simtest.Last(t, frames, 2900*ms).Counts[0]
		require.InDelta(t, simtest.Count(1500), at, 3)
		rests[at] = true
		steady := simtest.Run(t, simtest.Rig+"hands steady\n"+steps, seed).Frames(t, 0)
		require.Equal(t, simtest.Count(1500), simtest.Last(t, steady, 2900*ms).Counts[0])
		require.Equal(t, simtest.Count(1900), simtest.Last(t, steady, 1900*ms).Counts[0])
	}
	assert.Len(t, rests, 7, "from -3 to 3 counts")
}

// On a slow course tremor shows as steps back.
func TestSteadyHandsDoNotTremble(t *testing.T) {
	const steps = "0s signal on\n1s stick aileron 1900 over 10s\n12s end"
	back := func(hands string) (n int) {
		frames := simtest.Run(t, simtest.Rig+hands+steps, 1).Frames(t, 0)
		for i := 1; i < len(frames); i++ {
			if frames[i].Counts[0] < frames[i-1].Counts[0] {
				n++
			}
		}
		return n
	}
	assert.Zero(t, back("hands steady\n"))
	assert.Greater(t, back(""), 10)
}

// Varied hands react 0 to 150 ms late, take 0.6 to 1.1 of the time they are given,
// start within 2 µs of neutral and dwell for 15 to 200 ms.
func TestVariedHands(t *testing.T) {
	const steps = "0s signal on\n1s stick aileron 1900 over 500ms\n2s inner front\n3s press teach for 300ms\n4s end"
	var reactions, speeds, dwells, presses []int64
	starts := map[uint32]bool{}
	for seed := range uint64(200) {
		h := simtest.Run(t, simtest.Rig+"hands varied\n"+steps, seed)
		moving, resting := h.When("stick", "aileron", "moving"), h.When("stick", "aileron", "resting")
		reactions = append(reactions, moving[0]-second)
		speeds = append(speeds, resting[0]-moving[0])
		dwells = append(dwells, h.When("switch", "inner", "front")[0]-h.When("switch", "inner", "middle")[0])
		presses = append(presses, h.When("switch", "teach", "rest")[0]-h.When("switch", "teach", "pressed")[0])
		starts[simtest.Last(t, h.Frames(t, 0), 900*ms).Counts[0]] = true
	}
	for name, c := range map[string]struct {
		got       []int64
		low, high int64
	}{
		"reactions": {reactions, 0, 150 * ms}, "speeds": {speeds, 300 * ms, 550 * ms},
		"dwells": {dwells, 15 * ms, 200 * ms}, "presses": {presses, 180 * ms, 330 * ms},
	} {
		low, high := slices.Min(c.got), slices.Max(c.got)
		tenth := (c.high - c.low) / 10
		assert.True(t, c.low <= low && high <= c.high, "%s: %d to %d", name, low, high)
		assert.True(t, low < c.low+tenth && high > c.high-tenth, "%s: %d to %d", name, low, high)
	}
	assert.Len(t, starts, 7, "from -3 to 3 counts")
}

// Late hands still do one thing after the other, and other steps don't wait.
func TestVariedHandsKeepTheOrder(t *testing.T) {
	for seed := range uint64(50) {
		h := simtest.Run(t, simtest.Rig+"hands varied\n0s signal on\n1s inner middle\n1.01s inner front\n1.02s signal off\n2s end", seed)
		middle, front := h.When("switch", "inner", "middle"), h.When("switch", "inner", "front")
		require.Len(t, middle, 1)
		require.Len(t, front, 1)
		require.LessOrEqual(t, middle[0], front[0])
		require.Equal(t, []int64{1020 * ms}, h.When("signal", "transmitter", "off"))
	}
}

// Steady hands may vary as well.
func TestSteadyAndVaried(t *testing.T) {
	const steps = "0s signal on\n1s stick aileron 1900 over 500ms\n2s release aileron\n3s end"
	reactions := map[int64]bool{}
	for seed := range uint64(10) {
		h := simtest.Run(t, simtest.Rig+"hands steady varied\n"+steps, seed)
		frames := h.Frames(t, 0)
		require.Equal(t, simtest.Count(1500), simtest.Last(t, frames, 900*ms).Counts[0])
		require.Equal(t, simtest.Count(1900), simtest.Last(t, frames, 1900*ms).Counts[0])
		require.Equal(t, simtest.Count(1500), simtest.Last(t, frames, 2900*ms).Counts[0])
		reactions[h.When("stick", "aileron", "moving")[0]] = true
	}
	assert.Len(t, reactions, 10)
}
