package world_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

// Everything that came since the last tick comes at the tick, in packets of at
// most 62 bytes, a full one at once.
func TestClumping(t *testing.T) {
	h := simtest.Run(t, "receiver main hold\nadapter main clump 40ms\n0s signal on\n30s end", 1)
	ends := h.Sim.FrameEnds(0)
	phase, have, full := int64(-1), 0, 0
	for _, d := range h.Deliveries {
		last := charAt(ends, have+len(d.Data)-1)
		if len(d.Data) == 62 {
			full++
			require.Equal(t, last, d.At, "a full packet does not wait")
		} else {
			if phase < 0 {
				phase = d.At % (40 * ms)
			}
			require.Less(t, len(d.Data), 62)
			require.Equal(t, phase, d.At%(40*ms), "off the tick")
			require.Less(t, d.At-last, 40*ms)
			require.Less(t, d.At-charAt(ends, have), 40*ms)
		}
		have += len(d.Data)
		if have < len(h.Bytes(0)) && len(d.Data) < 62 {
			require.Greater(t, charAt(ends, have), d.At, "left behind")
		}
	}
	assert.Greater(t, full, 500)
}

// charAt is when the nth byte of a clean bus was complete.
func charAt(ends []int64, n int) int64 {
	return ends[n/servobus.FrameLen] - int64(servobus.FrameLen-1-n%servobus.FrameLen)*servobus.Protocol().CharTime()
}

// Without a clump a frame comes in one to four pieces, 0.1 to 1.5 ms late.
func TestPrompt(t *testing.T) {
	h := simtest.Run(t, "receiver main hold\nadapter main none\n0s signal on\n30s end", 1)
	ends := h.Sim.FrameEnds(0)
	pieces, have := map[int]int{}, 0
	for _, d := range h.Deliveries {
		frame := have / servobus.FrameLen
		pieces[frame]++
		have += len(d.Data)
		require.LessOrEqual(t, have, (frame+1)*servobus.FrameLen, "across frames")
		lag := d.At - charAt(ends, have-1)
		require.GreaterOrEqual(t, lag, 100*us)
		require.LessOrEqual(t, lag, 1500*us)
	}
	histogram := map[int]int{}
	for _, n := range pieces {
		histogram[n]++
	}
	for n := 1; n <= 4; n++ {
		assert.Greater(t, histogram[n], len(ends)/6, "%d pieces", n)
	}
	assert.Len(t, histogram, 4)
}

// A plug cuts where it is pulled; the wire goes on unheard.
func TestUnplug(t *testing.T) {
	adapters := []string{"none", "clump 16ms"}
	for seed := range uint64(40) {
		adapter := adapters[seed%2]
		text := "receiver main hold\nadapter main %\n0s signal on\n1s unplug main\n1s unplug main\n2s plug main\n3s end"
		h := simtest.Play(simtest.Parse(t, with(text, adapter)), seed)
		states := []world.Delivery{}
		for _, d := range h.Deliveries {
			if d.Kind != world.Data {
				states = append(states, d)
			} else {
				require.False(t, d.At > second && d.At < 2*second, "data at %d", d.At)
			}
		}
		assert.Equal(t, []world.Delivery{{At: second, Kind: world.Unplugged}, {At: 2 * second, Kind: world.Plugged}}, states)
		assert.InDelta(t, 3000/7, len(h.Sim.FrameEnds(0)), 2)
		tail := h.Deliveries[slices.IndexFunc(h.Deliveries, func(d world.Delivery) bool { return d.Kind == world.Plugged })+1]
		assert.LessOrEqual(t, len(tail.Data), 62)
		assert.Less(t, tail.At-2*second, 28*ms, "nothing from before the plug was pulled")
		assert.InDelta(t, 2000/7*servobus.FrameLen, len(h.Bytes(0)), 150)
	}
}
