package watch_test

import (
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

// travels has outputs of which travel is wanted: an elevon, a rudder whose sign is to be found, and an aileron the other way round.
const travels = plain + `outputs:
  1: {surface: left elevon, moved_by: {aileron: 0.5, elevator: -0.5}, travel: {from: 1100, to: 1900}}
  2: {surface: canard, moved_by: {elevator: "?"}, travel: {from: 1100, to: 1900}}
  3: {surface: aileron, moved_by: {aileron: -1.0}, travel: {from: 1100, to: 1900}}
`

// puts has channels stand, µs by number, and an output be at a width, µs, from now on.
func (q *quiet) puts(output int, width unit.Width, channels map[int]int64) {
	q.out[output] = steady(width * 1000)
	for n, us := range channels {
		q.frame.Counts[n-1] = uint32((us*1000 - 880_000) / 625)
	}
}

// traveled are the events of the watcher about an output, after a second in which all stands in the middle.
func traveled(t *testing.T, output int, play func(q *quiet)) []event.Event {
	events := heardOf(t, travels, func() base.Watcher { return &leads.OutputTravel{Tap: 2} }, func(q *quiet) {
		q.view.Taps[1].Linked = true
		q.puts(output, 1500, nil)
		q.run(unit.Second)
		play(q)
	})
	about := map[int]string{1: "output:1", 2: "output:2", 3: "output:3"}[output]
	for _, e := range events {
		require.Equal(t, about, e.About)
	}
	return events
}

// The sticks where the left elevon stands farthest to a side.
var (
	farUp   = map[int]int64{1: 2012, 2: 988}
	farDown = map[int]int64{1: 988, 2: 2012}
)

func TestHowFarAnOutputGoes(t *testing.T) {
	stands := func(width unit.Width, channels map[int]int64) func(q *quiet) {
		return func(q *quiet) {
			q.puts(1, width, channels)
			q.run(1500 * ms)
		}
	}
	for _, x := range []struct {
		name   string
		output int
		do     func(q *quiet)
		want   []unit.Width // how far each came short, µs; none: nothing is told
	}{
		{"as far as is wanted", 1, stands(1900, farUp), []unit.Width{0}},
		{"short of it", 1, stands(1841, farUp), []unit.Width{59}},
		{"beyond it by what is tolerated", 1, stands(1912, farUp), []unit.Width{-12}},
		{"to the narrow side", 1, stands(1130, farDown), []unit.Width{30}},
		{"it goes the other way", 1, stands(1130, farUp), []unit.Width{30}},
		{"sticks short of their ends by what is tolerated", 1, stands(1900, map[int]int64{1: 2000, 2: 1000}), []unit.Width{0}},
		{"a stick short of its end", 1, stands(1900, map[int]int64{1: 1999, 2: 988}), nil},
		{"one of two sticks", 1, stands(1700, map[int]int64{1: 2012}), nil},
		{"sticks that take it to and fro", 1, stands(1500, map[int]int64{1: 2012, 2: 2012}), nil},
		{"one by one", 1, func(q *quiet) { stands(1700, map[int]int64{1: 2012})(q); stands(1900, map[int]int64{2: 988})(q) }, []unit.Width{0}},
		{"once each time", 1, func(q *quiet) {
			stands(1900, farUp)(q)
			q.run(5 * unit.Second)
			stands(1500, map[int]int64{1: 1500})(q)
			stands(1880, farUp)(q)
		}, []unit.Width{0, 20}},
		{"from end to end", 1, func(q *quiet) { stands(1900, farUp)(q); stands(1100, farDown)(q) }, []unit.Width{0, 0}},
		{"too short a time", 1, func(q *quiet) { q.puts(1, 1900, farUp); q.run(700 * ms); stands(1500, map[int]int64{1: 1500})(q) }, nil},
		{"just long enough", 1, func(q *quiet) { q.puts(1, 1900, farUp); q.run(900 * ms); stands(1500, map[int]int64{1: 1500})(q) }, []unit.Width{0}},
		{"it comes to rest late", 1, func(q *quiet) { stands(1700, farUp)(q); q.events = nil; stands(1500, map[int]int64{1: 1500})(q) }, nil},
		{"it does not rest", 1, func(q *quiet) {
			q.puts(1, 0, farUp)
			q.out[1] = func(at unit.Time) unit.Width { return 1_880_000 + unit.Width(int64(at)/int64(40*ms)%2)*11_000 }
			q.run(2 * unit.Second)
		}, nil},
		{"it strays as it may", 1, func(q *quiet) {
			q.puts(1, 0, farUp)
			q.out[1] = func(at unit.Time) unit.Width { return 1_880_000 + unit.Width(int64(at)/int64(40*ms)%2)*10_000 }
			q.run(2 * unit.Second)
		}, []unit.Width{15}},
		{"few pulses", 1, func(q *quiet) {
			q.period[1] = 90 * ms
			q.puts(1, 1900, farUp)
			q.run(900 * ms)
			q.out[1] = nil
			q.run(unit.Second)
		}, nil},
		{"of one channel whose sign is to be found", 2, func(q *quiet) { q.puts(2, 1130, map[int]int64{2: 2012}); q.run(1500 * ms) }, []unit.Width{30}},
		{"of one the other way round", 3, func(q *quiet) { q.puts(3, 1130, map[int]int64{1: 2012}); q.run(1500 * ms) }, []unit.Width{30}},
		{"presets put it there", 1, func(q *quiet) { q.frame.Flags = bus.Failsafe; stands(1900, farUp)(q) }, nil},
		{"and the signal comes back with it there", 1, func(q *quiet) {
			q.frame.Flags = bus.Failsafe
			stands(1900, farUp)(q)
			q.frame.Flags = 0
			q.run(2 * unit.Second)
		}, nil},
		{"channels leapt there", 1, func(q *quiet) { q.view.Taps[1].Suspect = true; stands(1900, farUp)(q) }, nil},
		{"in a loss", 1, func(q *quiet) { q.view.Taps[1].Loss = event.PhaseLost; stands(1900, farUp)(q) }, nil},
		{"without a link", 1, func(q *quiet) { q.view.Taps[1].Linked = false; stands(1900, farUp)(q) }, nil},
		{"in a drill that tilts", 1, func(q *quiet) { q.view.Drill = drill.Correction; stands(1900, farUp)(q) }, nil},
		{"in another drill", 1, func(q *quiet) { q.view.Drill = drill.Order; stands(1900, farUp)(q) }, []unit.Width{0}},
		{"frames that were missed meanwhile", 1, func(q *quiet) {
			q.puts(1, 1900, farUp)
			q.run(400 * ms)
			q.frame.Flags = bus.Lost
			q.run(50 * ms)
			q.frame.Flags = 0
			q.run(unit.Second)
		}, []unit.Width{0}},
		{"another mode meanwhile", 1, func(q *quiet) {
			q.puts(1, 1900, farUp)
			q.run(500 * ms)
			q.view.Taps[1].Mode = "damping"
			q.run(2 * unit.Second)
		}, nil},
		{"the bus is silent meanwhile", 1, func(q *quiet) { q.puts(1, 1900, farUp); q.run(20 * ms); q.bus = false; q.run(2 * unit.Second) }, nil},
		{"the board goes meanwhile", 1, func(q *quiet) { q.puts(1, 1900, farUp); q.run(500 * ms); q.down(); q.up(); q.run(2 * unit.Second) }, nil},
		{"something was changed meanwhile", 1, func(q *quiet) {
			q.puts(1, 1900, farUp)
			q.run(500 * ms)
			q.see(&event.Observation{Wire: q.at, Kind: event.InputReopen, Data: []byte("all")})
			q.run(2 * unit.Second)
		}, nil},
	} {
		t.Run(x.name, func(t *testing.T) {
			var short []unit.Width
			for _, e := range traveled(t, x.output, x.do) {
				if d, ok := e.Data.(event.OutputReachedData); ok {
					assert.Equal(t, d.WantedNS > 1_500_000, d.Upper)
					assert.GreaterOrEqual(t, d.ForNS, 500*ms)
					short = append(short, d.ShortNS/1000)
				}
			}
			assert.Equal(t, x.want, short)
		})
	}
}

func TestAnOutputBeyondItsTravel(t *testing.T) {
	type seen struct {
		Width  unit.Width // µs
		Upper  bool
		Held   bool
		Past   []int
		Pulses int64
	}
	none := []int{}
	for _, x := range []struct {
		name   string
		output int
		do     func(q *quiet)
		want   []seen
	}{
		{"held", 3, func(q *quiet) { q.puts(3, 1913, map[int]int64{1: 988}); q.run(2 * unit.Second) }, []seen{{1913, true, true, none, 26}}},
		{"at the other end", 3, func(q *quiet) { q.puts(3, 1087, map[int]int64{1: 2012}); q.run(2 * unit.Second) }, []seen{{1087, false, true, none, 26}}},
		{"as far as is tolerated", 3, func(q *quiet) { q.puts(3, 1912, map[int]int64{1: 988}); q.run(2 * unit.Second) }, nil},
		{"a stick beyond its end", 3, func(q *quiet) { q.puts(3, 1950, map[int]int64{1: 970}); q.run(2 * unit.Second) }, []seen{{1950, true, true, []int{1}, 26}}},
		{"on the way", 3, func(q *quiet) {
			q.puts(3, 1930, map[int]int64{1: 988})
			q.run(200 * ms)
			q.puts(3, 1950, nil)
			q.run(200 * ms)
			q.puts(3, 1500, map[int]int64{1: 1500})
			q.run(unit.Second)
		}, []seen{{1950, true, false, none, 20}}},
		{"a glitch of three pulses", 3, func(q *quiet) { q.puts(3, 1950, nil); q.run(60 * ms); q.puts(3, 1500, nil); q.run(unit.Second) }, nil},
		{"of four", 3, func(q *quiet) { q.puts(3, 1950, nil); q.run(80 * ms); q.puts(3, 1500, nil); q.run(unit.Second) }, []seen{{1950, true, false, none, 4}}},
		{"from the one end to the other", 3, func(q *quiet) {
			q.puts(3, 1950, nil)
			q.run(100 * ms)
			q.puts(3, 1050, nil)
			q.run(100 * ms)
			q.puts(3, 1500, nil)
			q.run(unit.Second)
		},
			[]seen{{1950, true, false, none, 5}, {1050, false, false, none, 5}}},
		{"the stick goes on", 3, func(q *quiet) {
			q.puts(3, 1950, map[int]int64{1: 1100})
			q.run(400 * ms)
			q.puts(3, 1950, map[int]int64{1: 1000})
			q.run(400 * ms)
			q.puts(3, 1950, map[int]int64{1: 988})
			q.run(400 * ms)
			q.puts(3, 1500, map[int]int64{1: 1500})
			q.run(unit.Second)
		}, []seen{{1950, true, false, none, 60}}},
		{"the signal goes meanwhile", 3, func(q *quiet) {
			q.puts(3, 1950, nil)
			q.run(100 * ms)
			q.frame.Flags = bus.Failsafe
			q.run(2 * unit.Second)
		},
			[]seen{{1950, true, false, none, 6}}},
		{"without one", 3, func(q *quiet) {
			q.frame.Flags = bus.Failsafe
			q.run(50 * ms)
			q.puts(3, 1950, nil)
			q.run(2 * unit.Second)
		}, nil},
		{"in a drill that tilts", 3, func(q *quiet) {
			q.view.Drill = drill.Response
			q.run(50 * ms)
			q.puts(3, 1950, nil)
			q.run(2 * unit.Second)
		}, nil},
	} {
		t.Run(x.name, func(t *testing.T) {
			var got []seen
			for _, e := range traveled(t, x.output, x.do) {
				if d, ok := e.Data.(event.OutputBeyondData); ok {
					got = append(got, seen{d.WidthNS / 1000, d.Upper, d.Held, d.Past, d.Pulses})
				}
			}
			assert.Equal(t, x.want, got)
		})
	}
}
