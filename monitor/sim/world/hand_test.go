package world_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

// The known figures of a minimum-jerk course: half way at half time, a peak
// speed of 15/8 of the mean, no speed at either end.
func TestMinimumJerk(t *testing.T) {
	for _, c := range []struct{ from, to int64 }{{988 * us, 2012 * us}, {2012 * us, 988 * us}, {1500 * us, 1501 * us}} {
		const takes, steps = 600 * ms, 600
		assert.Equal(t, c.from, world.MinimumJerk(c.from, c.to, 0, takes))
		assert.Equal(t, c.to, world.MinimumJerk(c.from, c.to, takes, takes))
		assert.InDelta(t, (c.from+c.to)/2, world.MinimumJerk(c.from, c.to, takes/2, takes), 1)

		sign := int64(1)
		if c.to < c.from {
			sign = -1
		}
		last, peak := c.from, int64(0)
		for i := int64(1); i <= steps; i++ {
			at := world.MinimumJerk(c.from, c.to, takes*i/steps, takes)
			require.GreaterOrEqual(t, sign*(at-last), int64(0), "turned back at step %d", i)
			peak, last = max(peak, sign*(at-last)), at
		}
		mean := sign * (c.to - c.from) / steps
		// A step is three or four of the course's 2048 parts.
		assert.InDelta(t, float64(mean)*15/8, float64(peak), float64(mean)*0.4+3)
		first := sign * (world.MinimumJerk(c.from, c.to, takes/100, takes) - c.from)
		assert.Less(t, first*10_000, sign*(c.to-c.from), "no speed at the start")
	}
}

// On the bus: one way but for the tremor, no jump, an end within the hand's
// error, and dead still before and after.
func TestStickOnTheBus(t *testing.T) {
	text := simtest.Rig + "0s signal on\n1s stick aileron 1900 over 600ms\n4s end"
	ends := map[uint32]bool{}
	for seed := range uint64(20) {
		frames := simtest.Run(t, text, seed).Frames(t, 0)
		for _, f := range simtest.Between(frames, 100*ms, second) {
			require.Equal(t, simtest.Count(1500), f.Counts[0])
		}
		moving := simtest.Between(frames, second, 1700*ms)
		most := int64(0)
		for i := 1; i < len(moving); i++ {
			step := int64(moving[i].Counts[0]) - int64(moving[i-1].Counts[0])
			require.GreaterOrEqual(t, step, int64(-13), "4 us of tremor each way are 13 counts")
			most = max(most, step)
		}
		// 640 counts in 600 ms at 15/8 of the mean speed are 18 counts a packet;
		// a frame may show two packets.
		require.LessOrEqual(t, most, int64(2*18+13))
		rest := simtest.Between(frames, 1700*ms, 4*second)
		for _, f := range rest {
			require.Equal(t, rest[0].Counts[0], f.Counts[0])
		}
		require.InDelta(t, simtest.Count(1900), rest[0].Counts[0], 5)
		ends[rest[0].Counts[0]] = true
	}
	assert.Greater(t, len(ends), 3, "hands differ")
}

// A hand that goes to a stop leans against it.
func TestStopsAreExact(t *testing.T) {
	text := simtest.Rig + "0s signal on\n1s stick aileron 2012 over 600ms\n2s end"
	for seed := range uint64(10) {
		frames := simtest.Run(t, text, seed).Frames(t, 0)
		for _, f := range frames {
			require.LessOrEqual(t, f.Counts[0], simtest.Count(2012))
		}
		require.Equal(t, simtest.Count(2012), frames[len(frames)-1].Counts[0])
	}
}

func TestStirGoesBack(t *testing.T) {
	h := simtest.Run(t, simtest.Rig+"0s signal on\n1s stir aileron for 3s\n6s end", 2)
	frames := h.Frames(t, 0)
	changes, low, high := 0, uint32(2047), uint32(0)
	stirred := simtest.Between(frames, second, 4*second)
	for i := 1; i < len(stirred); i++ {
		if stirred[i].Counts[0] != stirred[i-1].Counts[0] {
			changes++
		}
		low, high = min(low, stirred[i].Counts[0]), max(high, stirred[i].Counts[0])
	}
	assert.Greater(t, changes, len(stirred)/2)
	assert.Greater(t, high-low, uint32(500))
	for _, f := range simtest.Between(frames, 5*second, 6*second) {
		require.InDelta(t, simtest.Count(1500), f.Counts[0], 3, "a gimbal returns within 2 us")
	}
	assert.Len(t, h.When("stick", "aileron", "moving"), 1)
	assert.Len(t, h.When("stick", "aileron", "resting"), 1)
}

func TestHeartbeatIsASawtooth(t *testing.T) {
	h := simtest.Run(t, simtest.Rig+"heartbeat beat 1000 2000 every 2s\n0s signal on\n10s end", 2)
	falls := 0
	frames := simtest.Between(h.Frames(t, 0), 100*ms, 10*second)
	for i := 1; i < len(frames); i++ {
		switch step := int(frames[i].Counts[15]) - int(frames[i-1].Counts[15]); {
		case step < 0:
			falls++
			require.Less(t, step, -1500, "from the top to the bottom")
		default:
			require.LessOrEqual(t, step, 16, "two packets' rise")
		}
	}
	assert.Equal(t, 4, falls)
}
