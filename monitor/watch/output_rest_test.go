package watch_test

import (
	"math"
	"math/rand/v2"
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

func jitters(t *testing.T, text string, play func(*quiet)) []event.Event {
	return heardOf(t, text, func() base.Watcher { return &leads.OutputJitter{Tap: 2} }, play)
}

func unsteadies(t *testing.T, play func(*quiet)) []event.Event {
	return heardOf(t, plain, func() base.Watcher { return &leads.OutputUnsteady{Tap: 2} }, play)
}

// restless are ways in which something commands the outputs, or may, every second.
var restless = map[string]func(q *quiet, second int){
	"a stick moves by two counts": func(q *quiet, n int) { q.frame.Counts[0] = uint32(middle + 3*(n%2)) },
	"a switch":                    func(q *quiet, n int) { q.frame.Counts[10] = uint32(low + (high-low)*(n%2)) },
	"failsafe":                    func(q *quiet, _ int) { q.frame.Flags = bus.Failsafe },
	"a response drill":            func(q *quiet, _ int) { q.view.Drill = drill.Response },
	"a correction drill":          func(q *quiet, _ int) { q.view.Drill = drill.Correction },
	"a loss":                      func(q *quiet, _ int) { q.view.Taps[1].Loss = event.PhaseLost },
	"channels leapt":              func(q *quiet, _ int) { q.view.Taps[1].Suspect = true },
	"another mode":                func(q *quiet, n int) { q.view.Taps[1].Mode = []string{"off", "damping"}[n%2] },
	"the bus is silent":           func(q *quiet, n int) { q.bus = n == 0 },
	"missed for half a second": func(q *quiet, _ int) {
		q.frame.Flags = bus.Lost
		q.run(500 * ms)
		q.frame.Flags = 0
	},
	"the bus's tap goes": func(q *quiet, _ int) { q.see(&event.Observation{Wire: q.at, Tap: 1, Kind: event.InputTapDown}) },
}

// restful are ways in which nothing does.
var restful = map[string]func(q *quiet, second int){
	"nothing":                     func(*quiet, int) {},
	"a stick strays by a count":   func(q *quiet, n int) { q.frame.Counts[0] = uint32(middle + n%3) },
	"a channel the sheet has not": func(q *quiet, n int) { q.frame.Counts[13] = uint32(middle + 100*(n%2)) },
	"a frame missed":              func(q *quiet, _ int) { q.frame.Flags = bus.Lost; q.run(7 * ms); q.frame.Flags = 0 },
	"a damaged frame": func(q *quiet, _ int) {
		f := q.frame
		f.Bad, f.Counts[0] = true, high
		q.see(&event.Observation{Wire: q.at, Tap: 1, Kind: event.FrameSeen, Frame: &f})
	},
	"another drill": func(q *quiet, _ int) { q.view.Drill = drill.Failsafe },
}

// each lets a number of seconds pass and does something in each.
func each(do func(*quiet, int), seconds int) func(*quiet) {
	return func(q *quiet) {
		for n := range seconds {
			do(q, n)
			q.run(unit.Second)
		}
	}
}

func TestRest(t *testing.T) {
	for name, do := range restless {
		t.Run(name, func(t *testing.T) {
			play := func(q *quiet) { q.out[1] = swinging(2, 30); each(do, 16)(q) }
			assert.Empty(t, jitters(t, plain, play))
			assert.Empty(t, unsteadies(t, play))
		})
	}
	for name, do := range restful {
		t.Run(name, func(t *testing.T) {
			play := func(q *quiet) { q.out[1] = swinging(2, 30); each(do, 16)(q) }
			assert.Len(t, jitters(t, plain, play), 1)
			assert.Len(t, unsteadies(t, play), 1)
		})
	}
}

// What rests on both sides of a hole need not have rested in it.
func TestRestIsNotBridged(t *testing.T) {
	events := jitters(t, plain, func(q *quiet) {
		q.out[1] = steady(1_500_000)
		q.run(3900 * ms)
		q.bus = false
		q.run(150 * ms)
		q.bus = true
		q.run(3 * unit.Second)
	})
	assert.Empty(t, events)
}

// A heartbeat commands nothing.
func TestRestBesideAHeartbeat(t *testing.T) {
	beats := func(q *quiet) {
		q.out[1] = steady(1_500_000)
		each(func(q *quiet, n int) { q.frame.Counts[15] = uint32(low + 100*n) }, 10)(q)
	}
	const declared = `sheet: 1
model: Table
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
heartbeat: {channel: 16}
`
	assert.Len(t, jitters(t, declared, beats), 1)
}

// swinging is a swing of a number of times a second and µs about 1500 µs.
func swinging(hz, amplitude float64) shape {
	return func(at unit.Time) unit.Width {
		return unit.Width(math.Round(2*(1500+amplitude*math.Sin(2*math.Pi*hz*float64(at)/1e9)))) * 500
	}
}

func TestJitterIsMeasured(t *testing.T) {
	spread := func(of shape) unit.Width {
		events := jitters(t, plain, func(q *quiet) { q.out[1] = of; q.run(7 * unit.Second) })
		return one(t, events).Data.(event.OutputJitterData).SpreadNS
	}
	nth := func(at unit.Time) int64 { return int64(at.Sub(0) / (20 * ms)) }
	odd := func(every int64) shape {
		return func(at unit.Time) unit.Width {
			if nth(at)%every == 0 {
				return 2_200_000
			}
			return 1_500_000
		}
	}
	assert.Equal(t, unit.Width(0), spread(steady(1_500_000)))
	assert.LessOrEqual(t, spread(func(at unit.Time) unit.Width { return 1_500_000 + unit.Width(nth(at))*10_000 }), unit.Width(2), "a drift of 0.5 ms a second")
	even := spread(func(at unit.Time) unit.Width { return 1_500_000 + unit.Width(nth(at)*37%101*100) })
	assert.InDelta(t, 101*89, int64(even), 300, "10.1 µs, all as often")
	assert.Less(t, spread(odd(21)), unit.Width(80_000), "five odd ones are left out")
	assert.Greater(t, spread(odd(10)), unit.Width(600_000), "more are not")
}

func TestJitterIsTold(t *testing.T) {
	events := jitters(t, plain, func(q *quiet) {
		q.out[1], q.out[9] = steady(1_500_000), steady(1_400_000)
		q.run(70 * unit.Second)
	})
	require.Len(t, events, 4, "two outputs, twice: once a minute")
	e := events[0]
	assert.Equal(t, "output:1", e.About)
	assert.InDelta(t, int64(4*unit.Second), int64(e.From), float64(40*ms), "after four seconds at rest")
	assert.Equal(t, event.OutputJitterData{Pulses: 100, ForNS: 99 * 20 * ms, Mode: "off"}, e.Data)
	assert.InDelta(t, int64(e.At.Add(unit.Minute)), int64(events[2].At), float64(2100*ms))

	events = jitters(t, plain, func(q *quiet) {
		q.out[1] = steady(1_500_000)
		q.run(10 * unit.Second)
		q.view.Taps[1].Mode = "damping"
		q.run(10 * unit.Second)
	})
	require.Len(t, events, 2)
	assert.Equal(t, "damping", events[1].Data.(event.OutputJitterData).Mode)
}

// A hundred in a row: what has a hole, or a clock that begins anew, is not.
func TestJitterWithHoles(t *testing.T) {
	for name, hole := range map[string]func(*quiet){
		"silent":      func(q *quiet) { q.board = false; q.run(105 * ms); q.board = true },
		"unplugged":   func(q *quiet) { q.down(); q.up() },
		"a new clock": (*quiet).again,
	} {
		events := jitters(t, plain, func(q *quiet) {
			q.out[1] = steady(1_500_000)
			for range 8 {
				q.run(1500 * ms)
				hole(q)
			}
		})
		assert.Empty(t, events, name)
	}
	events := jitters(t, plain, func(q *quiet) {
		q.out[1] = steady(1_500_000)
		for range 8 {
			q.run(unit.Second)
			q.board = false
			q.run(80 * ms)
			q.board = true
		}
	})
	assert.Len(t, events, 1, "a few that are lacking")
}

func TestUnsteadyAndCalm(t *testing.T) {
	var began, ended unit.Time
	events := unsteadies(t, func(q *quiet) {
		q.out[1], q.out[2] = steady(1_400_000), steady(1_500_000)
		q.run(10 * unit.Second)
		began = q.at
		q.out[2] = swinging(2.5, 12)
		q.run(30 * unit.Second)
		ended = q.at
		q.out[2] = steady(1_500_000)
		q.run(15 * unit.Second)
	})
	require.Equal(t, []string{event.OutputUnsteady, event.OutputCalm}, kinds(events))
	e, d := events[0], events[0].Data.(event.OutputUnsteadyData)
	assert.Equal(t, "output:2", e.About)
	assert.InDelta(t, 2500, d.MilliHz, 20)
	assert.InEpsilon(t, 12_000, int64(d.AmplitudeNS), 0.04)
	assert.Equal(t, "off", d.Mode)
	assert.InDelta(t, int64(12*unit.Second), int64(d.ForNS), 0)
	assert.InDelta(t, int64(began), int64(e.From), float64(3*unit.Second))
	assert.Less(t, e.At, began.Add(16*unit.Second))
	calm := events[1].Data.(event.OutputUnsteadyData)
	assert.InDelta(t, int64(ended), int64(events[1].From), float64(3*unit.Second))
	assert.Equal(t, events[1].From.Sub(e.From), calm.ForNS)
	assert.Equal(t, d.MilliHz, calm.MilliHz)
}

func TestWhatIsUnsteady(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	red, slow := 0.0, 0.0
	noisy := func(of shape, by float64) shape {
		return func(at unit.Time) unit.Width { return of(at) + unit.Width(by*rng.NormFloat64())*500 }
	}
	for _, x := range []struct {
		name string
		of   shape
		want bool
	}{
		{"5 µs at 2 Hz", swinging(2, 5.3), true},
		{"less is left alone", swinging(2, 4.6), false},
		{"half a hertz", swinging(0.55, 10), true},
		{"slower", swinging(0.35, 10), false},
		{"nine hertz", swinging(9, 10), true},
		{"twelve", swinging(12, 40), false},
		{"within noise", noisy(swinging(3, 8), 4), true},
		{"noise alone", noisy(steady(1_500_000), 12), false},
		{"slow noise", func(unit.Time) unit.Width { // what a sensor behind a low pass makes, 8 µs
			red += 0.08 * (40*rng.NormFloat64() - red)
			return 1_500_000 + unit.Width(red*1000)
		}, false},
		{"a walk", func(unit.Time) unit.Width { slow += rng.NormFloat64(); return 1_500_000 + unit.Width(slow*1000) }, false},
		{"a step each five seconds", func(at unit.Time) unit.Width { return 1_500_000 + 100_000*unit.Width(at.Sub(0)/(5*unit.Second)%2) }, false},
		{"tilted and back, now and then", func(at unit.Time) unit.Width {
			s := float64(at.Sub(0)%(11*unit.Second)) / 1e9
			return 1_500_000 + unit.Width(200_000*math.Exp(-(s-3)*(s-3)*2)) - unit.Width(150_000*math.Exp(-(s-7)*(s-7)*5))
		}, false},
		{"a kick that rings out", func(at unit.Time) unit.Width {
			s := float64(at.Sub(0)%(12*unit.Second)) / 1e9
			return 1_500_000 + unit.Width(200_000*math.Exp(-2*s)*math.Sin(12*s))
		}, false},
		{"one that rings out slowly", func(at unit.Time) unit.Width {
			s := float64(at.Sub(0)%(30*unit.Second)) / 1e9
			return 1_500_000 + unit.Width(500_000*math.Exp(-s/2)*math.Sin(19*s))
		}, false},
		{"a drift", func(at unit.Time) unit.Width { return 1_500_000 + unit.Width(at.Sub(0)/(100*unit.Microsecond)) }, false},
		{"now faster, now slower", func(at unit.Time) unit.Width {
			hz := []float64{1.5, 4, 2.2, 6}[at.Sub(0)/(5*unit.Second)%4]
			return swinging(hz, 20)(at)
		}, false},
	} {
		t.Run(x.name, func(t *testing.T) {
			events := quietOf(t, plain, func() base.Watcher { return &leads.OutputUnsteady{Tap: 2} }, func(q *quiet) {
				q.out[1] = x.of
				q.run(120 * unit.Second)
			}, false)
			assert.Equal(t, x.want, len(events) > 0, kinds(events))
		})
	}
}

// Told once, whatever moves meanwhile; after a break anew.
func TestUnsteadyIsToldOnce(t *testing.T) {
	events := unsteadies(t, func(q *quiet) {
		q.out[1] = swinging(2, 20)
		q.run(20 * unit.Second)
		q.frame.Counts[0] = high
		q.run(20 * unit.Second)
		q.out[1] = swinging(2, 4)
		q.run(30 * unit.Second)
	})
	assert.Len(t, events, 1, "still there, though fainter")
	events = unsteadies(t, func(q *quiet) {
		q.out[1] = swinging(2, 20)
		q.run(20 * unit.Second)
		q.out[1] = func(at unit.Time) unit.Width { return swinging(2, 20)(at) + 300_000 }
		q.run(20 * unit.Second)
		q.out[1] = swinging(2, 20)
		q.run(20 * unit.Second)
	})
	assert.Len(t, events, 1, "steps in between hide it for a while")
	events = unsteadies(t, func(q *quiet) {
		q.out[1] = swinging(2, 20)
		q.run(20 * unit.Second)
		q.down()
		q.up()
		q.run(20 * unit.Second)
	})
	assert.Equal(t, []string{event.OutputUnsteady, event.OutputUnsteady}, kinds(events))
}

// No straight line bridges a hole.
func TestUnsteadyWithHoles(t *testing.T) {
	events := unsteadies(t, func(q *quiet) {
		q.out[1] = swinging(2, 20)
		for range 10 {
			q.run(5 * unit.Second)
			q.board = false
			q.run(65 * ms)
			q.board = true
		}
	})
	assert.Empty(t, events)
	events = unsteadies(t, func(q *quiet) {
		q.out[1] = swinging(2, 20)
		for range 10 {
			q.run(2 * unit.Second)
			q.board = false
			q.run(20 * ms)
			q.board = true
		}
	})
	assert.Len(t, events, 1, "one lacking pulse is bridged")
}
