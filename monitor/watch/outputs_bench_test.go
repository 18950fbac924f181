package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/pulse"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/watch"
)

// eight are eight outputs that swing at rest, pulse by pulse, and the watchers of
// servo leads that see them.
func eight(t testing.TB) (step func()) {
	s, err := sheet.Read("table", []byte(plain))
	require.NoError(t, err)
	v := watch.NewView(s, []fact.TapName{{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}})
	list := []watch.Watcher{
		&watch.Board{Tap: 2}, &watch.OutputSilence{Tap: 2}, &watch.OutputWidth{Tap: 2}, &watch.OutputJitter{Tap: 2}, &watch.OutputUnsteady{Tap: 2},
	}
	var f servobus.Frame
	var p pulse.Pulse
	var o fact.Observation
	swings := swinging(3, 20)
	nothing := func(string, fact.Time, string, any) {}
	see := func(x fact.Observation) {
		o = x
		for _, w := range list {
			w.See(&o, &v, nothing)
		}
	}
	n := fact.Time(0)
	return func() {
		at := n / 8 * 20 * ms
		if n%8 == 0 {
			see(fact.Observation{At: at, Wire: at, Tap: 1, Kind: fact.FrameSeen, Frame: &f})
		}
		p = pulse.Pulse{Output: 1 + int(n%8), Rise: int64(at), Width: swings(at), Period: int64(20 * ms)}
		see(fact.Observation{At: at, Wire: at + fact.Time(p.Width), Tap: 2, Kind: fact.PulseSeen, Pulse: &p})
		n++
	}
}

func TestPulsesAllocateNothing(t *testing.T) {
	step := eight(t)
	for range 8 * 50 * 30 { // what is told once is told
		step()
	}
	assert.Zero(t, testing.AllocsPerRun(8*50*20, step))
}

func BenchmarkPulse(b *testing.B) {
	step := eight(b)
	b.ReportAllocs()
	for b.Loop() {
		step()
	}
}
