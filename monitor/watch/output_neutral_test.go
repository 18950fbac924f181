package watch_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/leads"
)

// neutrals has an elevon that flaps move too, and a switch of flight phases.
var neutrals = strings.Replace(plain, "\ngain:", "\n  8: {name: phase, kind: switch, positions: {off: 988, on: 2012}}\ngain:", 1) + `outputs:
  1: {surface: elevon, moved_by: {aileron: 0.5, elevator: -0.5, flaps: 0.25}}
`

// rests has the output rest at a width, µs, long enough to be looked at.
func (q *quiet) rests(width unit.Width) {
	q.out[1] = steady(width * 1000)
	q.run(3500 * ms)
}

// asks has another mode be asked for, by a switch.
func (q *quiet) asks(mode string, us int64) {
	q.view.Taps[1].Mode = mode
	q.frame.Counts[10] = uint32((us*1000 - 880_000) / 625)
}

// jump is what is told of a shift.
type jump struct {
	By, Asked unit.Width // µs
	Mode, Was string
	Switches  []int
}

func TestWhereAnOutputRests(t *testing.T) {
	damping := func(q *quiet) { q.asks("damping", 2012) }
	phase := func(q *quiet) { q.frame.Counts[7] = high }
	mode := func(by unit.Width) []jump { return []jump{{by, 0, "damping", "off", []int{11}}} }
	for _, x := range []struct {
		name string
		do   func(q *quiet)
		want []jump
	}{
		{"in another mode", func(q *quiet) { damping(q); q.rests(1530) }, mode(30)},
		{"as before", func(q *quiet) { damping(q); q.rests(1500) }, mode(0)},
		{"to the narrow side", func(q *quiet) { damping(q); q.rests(1460) }, mode(-40)},
		{"in the same mode", func(q *quiet) { q.rests(1530) }, nil},
		{"and back", func(q *quiet) { damping(q); q.rests(1530); q.asks("off", 1500); q.rests(1502) },
			[]jump{{30, 0, "damping", "off", []int{11}}, {-28, 0, "off", "damping", []int{11}}}},
		{"once for each rest", func(q *quiet) { damping(q); q.rests(1530); q.rests(1560) }, mode(30)},
		{"from phase to phase", func(q *quiet) { phase(q); q.rests(1515) }, []jump{{15, 0, "off", "off", []int{8}}}},
		{"of a phase that sets a stick, too", func(q *quiet) {
			phase(q)
			q.frame.Counts[1] = middle - 64 // 40 µs
			q.rests(1522)
		}, []jump{{22, 20, "off", "off", []int{8}}}},
		{"mode and phase at once", func(q *quiet) { phase(q); damping(q); q.rests(1530) }, []jump{{30, 0, "damping", "off", []int{8, 11}}}},
		{"a switch that hardly moved", func(q *quiet) { q.frame.Counts[7] = low + 32; q.rests(1515) }, nil},
		{"by a little more", func(q *quiet) { q.frame.Counts[7] = low + 33; q.rests(1515) }, []jump{{15, 0, "off", "off", []int{8}}}},
		{"a stick that is held", func(q *quiet) { damping(q); q.frame.Counts[0] = middle + 161; q.rests(1600) }, nil},
		{"one as far from neutral as a phase has it", func(q *quiet) { damping(q); q.frame.Counts[0] = middle + 160; q.rests(1550) },
			[]jump{{50, 50, "damping", "off", []int{11}}}},
		{"a knob that moves it was turned", func(q *quiet) { damping(q); q.frame.Counts[5] = middle + 20; q.rests(1530) }, nil},
		{"by no more than is tolerated", func(q *quiet) { damping(q); q.frame.Counts[5] = middle + 16; q.rests(1530) },
			[]jump{{30, 2, "damping", "off", []int{11}}}}, // 10 µs of flaps, a quarter of it, less what is below one µs
		{"another knob was turned", func(q *quiet) { damping(q); q.frame.Counts[8] = high; q.rests(1530) }, mode(30)},
		{"too short a rest", func(q *quiet) {
			damping(q)
			q.out[1] = steady(1_530_000)
			q.run(2900 * ms)
			q.frame.Counts[0] = high
			q.run(100 * ms)
			q.asks("off", 1500)
			q.frame.Counts[0] = middle
			q.rests(1500)
		}, nil},
		{"just long enough", func(q *quiet) {
			damping(q)
			q.out[1] = steady(1_530_000)
			q.run(3100 * ms)
			q.frame.Counts[0] = high
			q.run(100 * ms)
		}, mode(30)},
		{"it does not rest", func(q *quiet) {
			damping(q)
			q.out[1] = func(at unit.Time) unit.Width { return 1_530_000 + unit.Width(int64(at)/int64(40*ms)%2)*10_500 }
			q.run(6 * unit.Second)
		}, nil},
		{"it strays as it may", func(q *quiet) {
			damping(q)
			q.out[1] = func(at unit.Time) unit.Width { return 1_530_000 + unit.Width(int64(at)/int64(40*ms)%3/2)*10_000 }
			q.run(4 * unit.Second)
		}, mode(30)},
		{"a minute later", func(q *quiet) {
			damping(q)
			q.frame.Counts[0] = high
			q.run(56 * unit.Second)
			q.frame.Counts[0] = middle
			q.rests(1530)
		}, mode(30)},
		{"more than a minute later", func(q *quiet) {
			damping(q)
			q.frame.Counts[0] = high
			q.run(61 * unit.Second)
			q.frame.Counts[0] = middle
			q.rests(1530)
		}, nil},
		{"pulses paused for a second", func(q *quiet) { q.out[1] = nil; q.run(1100 * ms); damping(q); q.rests(1530) }, nil},
		{"the board began anew", func(q *quiet) { q.again(); damping(q); q.rests(1530) }, nil},
		{"the board was unplugged", func(q *quiet) { q.down(); q.up(); damping(q); q.rests(1530) }, nil},
		{"something was changed", func(q *quiet) {
			q.see(&event.Observation{Wire: q.at, Kind: event.InputReopen, Data: []byte("all")})
			damping(q)
			q.rests(1530)
		}, nil},
		{"without a signal", func(q *quiet) { damping(q); q.frame.Flags = bus.Failsafe; q.rests(1530) }, nil},
		{"in a drill that tilts", func(q *quiet) { damping(q); q.view.Drill = drill.Correction; q.rests(1530) }, nil},
		{"into no mode of the sheet", func(q *quiet) { q.asks("", 1250); q.rests(1530) }, []jump{{30, 0, "", "off", []int{11}}}},
	} {
		t.Run(x.name, func(t *testing.T) {
			events := heardOf(t, neutrals, func() base.Watcher { return &leads.OutputNeutral{Tap: 2} }, func(q *quiet) {
				q.frame.Counts[7] = low
				q.rests(1500)
				x.do(q)
			})
			var got []jump
			for _, e := range events {
				d, ok := e.Data.(event.OutputShiftedData)
				require.True(t, ok)
				require.Equal(t, "output:1", e.About)
				assert.Positive(t, d.ApartNS)
				got = append(got, jump{d.Shift() / 1000, d.AskedNS / 1000, d.Mode, d.WasMode, d.Switches})
			}
			assert.Equal(t, x.want, got)
		})
	}
}
