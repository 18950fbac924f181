package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/leads"
)

// eight are eight outputs that swing at rest, pulse by pulse, and the watchers of
// servo leads that see them.
func eight(t testing.TB) (step func()) {
	s, err := sheet.Read("table", []byte(plain))
	require.NoError(t, err)
	v := base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}})
	list := []base.Watcher{
		&leads.Board{Tap: 2}, &leads.OutputSilence{Tap: 2}, &leads.OutputWidth{Tap: 2}, &leads.OutputJitter{Tap: 2}, &leads.OutputUnsteady{Tap: 2},
	}
	var frame bus.Frame
	var p event.Pulse
	var o event.Observation
	swings := swinging(3, 20)
	nothing := func(string, unit.Time, string, any) {}
	see := func(x event.Observation) {
		o = x
		for _, w := range list {
			w.See(&o, &v, nothing)
		}
	}
	n := 0
	return func() {
		at := unit.Time(unit.Duration(n/8) * 20 * ms)
		if n%8 == 0 {
			see(event.Observation{At: at, Wire: at, Tap: 1, Kind: event.FrameSeen, Frame: &frame})
		}
		p = event.Pulse{Output: 1 + n%8, Rise: unit.Duration(at), Width: swings(at), Period: 20 * ms}
		see(event.Observation{At: at, Wire: at.Add(p.Width.Duration()), Tap: 2, Kind: event.PulseSeen, Pulse: &p})
		n++
	}
}

func TestPulsesAllocateNothing(t *testing.T) {
	step := eight(t)
	for range 8 * 50 * 30 { // what is reported once is reported
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
