package engine

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

const clumpedBench = `
channel 1 aileron 1500
receiver main preset period 7ms
wire main missing 0.5%
adapter main clump 16ms
0s signal on
300s end
`

// The estimate is held to the truth of the simulated bench: frames that an
// adapter hands over in clumps of 16 ms, one in two hundred never sent.
func TestWireTimeAgainstTheTruth(t *testing.T) {
	scripted, err := script.Parse("clumped", []byte(clumpedBench))
	require.NoError(t, err)
	for seed := range uint64(20) {
		sim := world.New(&scripted.Plan, seed)
		sim.KeepTruth = true
		var wire []unit.Time
		missing := 0
		bus := NewBus(servobus.Protocol())
		see := func(o *event.Observation) {
			if o.Kind == event.FrameSeen {
				wire = append(wire, o.Wire)
				missing += o.Pace.Missing
			}
		}
		for d, ok := sim.Next(); ok; d, ok = sim.Next() {
			bus.Step(&event.Input{At: unit.Time(d.At).Truncate(unit.Microsecond), Tap: 1, Kind: event.InputBytes, Data: d.Data}, see)
		}
		ends := sim.FrameEnds(0)
		require.Len(t, wire, len(ends))
		var off []unit.Duration
		for i := 64; i < len(ends); i++ {
			off = append(off, max(wire[i].Sub(unit.Time(ends[i])), unit.Time(ends[i]).Sub(wire[i])))
		}
		slices.Sort(off)
		p50, p99 := off[len(off)/2], off[len(off)*99/100]
		truly := 0
		for _, x := range sim.Truth() {
			if x.Kind == "frame" && x.To == "missing" {
				truly++
			}
		}
		t.Logf("seed %d: p50 %d µs, p99 %d µs; %d frames missing, %d told", seed, p50/1000, p99/1000, truly, missing)
		assert.LessOrEqual(t, p50, unit.Millisecond)
		assert.LessOrEqual(t, p99, 3*unit.Millisecond)
		assert.InDelta(t, truly, missing, 3)
	}
}
