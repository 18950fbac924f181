package world_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

func TestSameSeedSameDeliveries(t *testing.T) {
	for _, name := range script.Names() {
		s := simtest.Named(t, name)
		first := fingerprint(simtest.Play(s, 7))
		require.Equal(t, first, fingerprint(simtest.Play(s, 7)), name)
		require.NotEqual(t, first, fingerprint(simtest.Play(s, 8)), name)
	}
}

func TestDeliveriesComeInOrder(t *testing.T) {
	scripts := map[string]*script.Script{"prompt taps": simtest.Parse(t, simtest.Rig+"wire main noise 200\nwire rear noise 200\n0s signal on\n20s end")}
	for _, name := range script.Names() {
		scripts[name] = simtest.Named(t, name)
	}
	for name, s := range scripts {
		last := int64(0)
		for _, d := range simtest.Play(s, 3).Deliveries {
			if d.At < last || (d.Kind == world.Data) != (len(d.Data) > 0) {
				require.Fail(t, "out of order, or without what it is for", "%s: %+v after %d", name, d, last)
			}
			last = d.At
		}
	}
}

// The adapter changes how bytes are handed over and nothing else.
func TestBytesDoNotDependOnTheAdapter(t *testing.T) {
	text := simtest.Rig + "link main loss 5% burst 3\nwire main missing 1% damage 1% noise 20\nadapter main %\n0s signal on\n2s stir aileron for 5s\n10s end"
	none, clump := simtest.Play(simtest.Parse(t, with(text, "none")), 5), simtest.Play(simtest.Parse(t, with(text, "clump 16ms")), 5)
	require.Equal(t, none.Bytes(0), clump.Bytes(0))
	assert.Equal(t, none.Sim.FrameEnds(0), clump.Sim.FrameEnds(0))
	assert.NotEqual(t, len(none.Deliveries), len(clump.Deliveries))
	assert.Greater(t, len(none.Bytes(0)), 25*1000)
}

// Two receivers have nothing in common but the transmitter.
func TestTapsAreIndependent(t *testing.T) {
	h := simtest.Run(t, simtest.Rig+"link main loss 5% burst 3\nlink rear loss 5% burst 3\n0s signal on\n60s end", 1)
	assert.NotEqual(t, h.When("packet", "main", "missed"), h.When("packet", "rear", "missed"))
	assert.NotEqual(t, h.Sim.FrameEnds(0)[0], h.Sim.FrameEnds(1)[0])
}

// Without KeepTruth nothing grows with the length of the script.
func TestKeepsNothingUnasked(t *testing.T) {
	sim := world.New(&simtest.Named(t, "good").Plan, 1)
	for range 1000 {
		_, ok := sim.Next()
		require.True(t, ok)
	}
	assert.Empty(t, sim.FrameEnds(0))
	assert.Empty(t, sim.Truth())
}

func BenchmarkGood(b *testing.B) { benchmark(b, "good") }
func BenchmarkWing(b *testing.B) { benchmark(b, "wing") }

func benchmark(b *testing.B, name string) {
	s := simtest.Named(b, name)
	for b.Loop() {
		sim := world.New(&s.Plan, 1)
		deliveries := 0
		for _, ok := sim.Next(); ok; _, ok = sim.Next() {
			deliveries++
		}
		require.NotZero(b, deliveries)
	}
}
