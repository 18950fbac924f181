package account

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// play gives what the flags have said after runs of frames 7 ms apart, which begins with live ones.
func play(live int, runs ...struct {
	flags bus.Flags
	n     int
}) (f told, gone bool) {
	at := unit.Time(0)
	frame := func(flags bus.Flags) {
		at = at.Add(7 * unit.Millisecond)
		f.frame(&event.Observation{At: at, Wire: at, Kind: event.FrameSeen, Frame: &bus.Frame{Flags: flags}})
		gone = gone || f.gone(at)
	}
	for range live {
		frame(0)
	}
	for _, r := range runs {
		for range r.n {
			frame(r.flags)
		}
	}
	return f, gone
}

func TestWhatFlagsSay(t *testing.T) {
	type run = struct {
		flags bus.Flags
		n     int
	}
	const lost, failsafe = bus.Lost, bus.Failsafe
	for _, c := range []struct {
		name string
		live int
		runs []run
		want bool
	}{
		{"failsafe flags", 10, []run{{failsafe, 8}}, true},
		{"too few", 10, []run{{failsafe, 7}, {0, 10}}, false},
		{"flagged as lost for 0.6 s", 10, []run{{lost, 87}}, true},
		{"for less", 10, []run{{lost, 86}, {0, 10}}, false},
		{"before the first link", 3, []run{{failsafe, 200}}, false},
		{"with a live frame between", 10, []run{{lost, 60}, {0, 1}, {lost, 60}}, false},
	} {
		_, gone := play(c.live, c.runs...)
		assert.Equal(t, c.want, gone, c.name)
	}
}

// Three wrong frames without a flag in a loss are not the latest live ones.
func TestWhereALossBegan(t *testing.T) {
	type run = struct {
		flags bus.Flags
		n     int
	}
	f, gone := play(10, run{bus.Failsafe, 5}, run{0, 3}, run{bus.Failsafe, 20})
	assert.True(t, gone)
	assert.Equal(t, unit.Time(70*unit.Millisecond), f.At)
}
