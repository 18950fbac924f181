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

func bothLeads() []base.Watcher {
	return []base.Watcher{&leads.OutputFollows{Tap: 2}, &leads.OutputClip{Tap: 2}}
}

// follows are what was reported of an output, in order.
func follows(list []event.Event, about string) (some []event.OutputFollowsData) {
	for _, e := range of(list, event.OutputFollows, about) {
		some = append(some, e.Data.(event.OutputFollowsData))
	}
	return some
}

// slope is what was reported of a channel, ppm; false: nothing.
func slope(d *event.OutputFollowsData, channel int) (int64, bool) {
	for _, t := range d.Terms {
		if t.Channel == channel {
			return t.PPM, true
		}
	}
	return 0, false
}

func assertSlope(t *testing.T, want float64, d *event.OutputFollowsData, channel int) {
	t.Helper()
	got, ok := slope(d, channel)
	require.True(t, ok, "channel %d: %+v", channel, d)
	assert.InDelta(t, want*1e6, got, 20_000, "channel %d", channel)
}

func TestFollows(t *testing.T) {
	events := played(t, bothLeads, func(w *wired) {
		w.run(2)
		w.sweep(1, 2, 4)
		w.raise()
	})
	assert.Empty(t, of(events, event.OutputClipped, "output:1"))
	left, motor := follows(events, "output:1"), follows(events, "output:3")
	require.NotEmpty(t, left)
	first, last := left[0], left[len(left)-1]
	assertSlope(t, 0.5, &first, 1)
	assert.Contains(t, first.Unmoved, 2)
	assertSlope(t, 0.5, &last, 1)
	assertSlope(t, -0.5, &last, 2)
	assertSlope(t, 0, &last, 3)
	assertSlope(t, 0, &last, 4)
	assert.Equal(t, []int{9}, last.Unmoved, "the knob; the switch is no stick")
	assert.Equal(t, "off", last.Mode)
	assert.Equal(t, []string{"leads", "main"}, []string{last.Tap, last.Bus})
	assert.InDelta(t, 1_500_000, int64(last.NeutralNS), 2_000)
	assert.InDelta(t, 45e6, int64(last.DelayNS), 6e6)
	assert.InDelta(t, 1_244_000, int64(last.LeastNS), 3_000)
	assert.InDelta(t, 1_756_000, int64(last.MostNS), 3_000)
	assert.Zero(t, last.LowNS+last.HighNS+last.DeadNS)

	require.NotEmpty(t, motor)
	last = motor[len(motor)-1]
	assertSlope(t, 1, &last, 3)
	assertSlope(t, 0, &last, 1)
	assert.InDelta(t, 988_000, int64(last.NeutralNS), 2_000, "a throttle's neutral is its cut")
	for _, about := range []string{"output:1", "output:2", "output:3"} {
		list := of(events, event.OutputFollows, about)
		assert.LessOrEqual(t, len(list), 5, about)
		for i := 1; i < len(list); i++ {
			assert.GreaterOrEqual(t, list[i].At.Sub(list[i-1].At), 2*unit.Second, about)
		}
		for _, e := range list {
			assert.LessOrEqual(t, e.From, e.At)
		}
	}
}

// The same movements over and over are nothing new, and cost fewer and fewer fits.
func TestFollowsIsToldOnce(t *testing.T) {
	var before int
	events := played(t, bothLeads, func(w *wired) {
		w.run(2)
		for range 2 {
			w.sweep(1, 2, 4)
			w.raise()
			before = len(w.events)
		}
		for range 2 {
			w.sweep(1, 2, 4)
		}
	})
	assert.Len(t, events, before)
}

// What moves an output although the sheet knows nothing of it is found too, and an
// output that is reversed.
func TestFollowsWhatIsThere(t *testing.T) {
	events := played(t, bothLeads, func(w *wired) {
		w.leads[1].slopes = map[int]float64{1: -0.5, 4: 0.3}
		w.run(2)
		w.sweep(1, 2, 4)
	})
	list := follows(events, "output:1")
	require.NotEmpty(t, list)
	last := list[len(list)-1]
	assertSlope(t, -0.5, &last, 1)
	assertSlope(t, 0, &last, 2)
	assertSlope(t, 0.3, &last, 4)
}

// Each mode is looked at by itself.
func TestFollowsInEachMode(t *testing.T) {
	events := played(t, bothLeads, func(w *wired) {
		w.run(2)
		w.sweep(1, 2)
		w.leads[1].slopes = map[int]float64{1: 0.2, 2: -0.2}
		w.base[11] = 2012
		w.run(1)
		w.sweep(1, 2)
		w.leads[1].slopes = map[int]float64{1: 0.5, 2: -0.5}
		w.base[11] = 988
		w.run(1)
		w.sweep(1, 2)
	})
	var modes []string
	for _, d := range follows(events, "output:1") {
		if len(modes) == 0 || modes[len(modes)-1] != d.Mode {
			modes = append(modes, d.Mode)
		}
		want := 0.5
		if d.Mode == "upright" {
			want = 0.2
		}
		assertSlope(t, want, &d, 1)
	}
	assert.Equal(t, []string{"off", "upright"}, modes, "back in the first there is nothing new")
}

// Nothing is taken from movement that the sticks do not make alone.
func TestFollowsWaits(t *testing.T) {
	for _, x := range []struct {
		name string
		do   func(w *wired)
		want bool
	}{
		{"all is well", func(*wired) {}, true},
		{"a limits drill", func(w *wired) { w.view.Drill = "limits" }, true},
		{"a drill that tilts the model", func(w *wired) { w.view.Drill = drill.Correction }, false},
		{"the other one", func(w *wired) { w.view.Drill = drill.Response }, false},
		{"a loss", func(w *wired) { w.view.Taps[1].Loss = event.PhaseLost }, false},
		{"values that leapt", func(w *wired) {
			w.first = w.first[4:] // without those that would say otherwise
			w.view.Taps[1].Suspect = true
		}, false},
		{"failsafe", func(w *wired) { w.flags = bus.Failsafe }, false},
		{"missed frames", func(w *wired) { w.flags = bus.Lost }, false},
		{"one frame in five is missed", func(w *wired) { w.lost = 5 }, true},
		{"silent leads", func(w *wired) { w.mute = true }, false},
	} {
		t.Run(x.name, func(t *testing.T) {
			events := played(t, bothLeads, func(w *wired) {
				w.run(2)
				x.do(w)
				w.sweep(1, 2)
			})
			assert.Equal(t, x.want, len(events) > 0, "%d events", len(events))
		})
	}
}

// Just after a mode switch was touched it is not known what moves an output.
func TestFollowsWaitsAfterASwitch(t *testing.T) {
	for after, want := range map[float64]bool{0.02: false, 0.4: true} {
		events := played(t, bothLeads, func(w *wired) {
			w.run(2)
			for range 12 {
				w.base[11] = 1200 // a flick, too short to ask for anything
				w.run(0.03)
				w.base[11] = 988
				w.run(after)
				for _, us := range []float64{1900, 1100} {
					w.base[1] = us
					w.run(0.1)
				}
				w.base[1] = 1500
				w.run(1)
			}
		})
		assert.Equal(t, want, len(follows(events, "output:1")) > 0, "%v s after the switch", after)
	}
}

// What is new is reported: farther than before, and a limit.
func TestFollowsTellsWhatIsNew(t *testing.T) {
	for _, x := range []struct {
		name string
		high float64 // of output 1, which goes to 1600 µs at first and then to 1756
		want bool
	}{
		{"farther", 2300, true},
		{"a limit, hardly farther", 1620, true},
	} {
		t.Run(x.name, func(t *testing.T) {
			events := played(t, bothLeads, func(w *wired) {
				w.leads[1] = &lead{slopes: map[int]float64{1: 0.5}, low: 700, high: x.high}
				w.run(2)
				w.most = 1700
				w.sweep(1, 2, 4)
				w.sweep(1, 2, 4)
				before := len(follows(w.events, "output:1"))
				require.NotZero(t, before)
				require.Zero(t, follows(w.events, "output:1")[before-1].HighNS)
				w.most = 0
				w.sweep(1, 1, 1)
				require.Equal(t, x.want, len(follows(w.events, "output:1")) > before)
			})
			list := follows(events, "output:1")
			last := list[len(list)-1]
			assert.InDelta(t, min(x.high, 1756)*1000, int64(last.MostNS), 3_000)
			assert.Equal(t, x.high < 1756, last.HighNS != 0)
		})
	}
}

// A tap that was away, a bus that was silent, and what is to be seen anew begin
// afresh: the receiver may have been set otherwise.
func TestFollowsAfresh(t *testing.T) {
	for _, x := range []struct {
		name string
		do   func(w *wired)
	}{
		{"leads down", func(w *wired) { w.see(&event.Observation{At: unit.Time(w.at * 1e9), Tap: 2, Kind: event.InputTapDown}) }},
		{"bus down", func(w *wired) { w.see(&event.Observation{At: unit.Time(w.at * 1e9), Tap: 1, Kind: event.InputTapDown}) }},
		{"one lead was off", func(w *wired) {
			w.mute = true
			w.run(2)
			w.mute = false
		}},
		{"reopened", func(w *wired) {
			w.see(&event.Observation{At: unit.Time(w.at * 1e9), Kind: event.InputReopen, Data: []byte("outputs")})
		}},
		{"silent", func(w *wired) { w.at += 3; w.rise = w.at; w.past, w.dates = nil, nil }},
	} {
		t.Run(x.name, func(t *testing.T) {
			events := played(t, bothLeads, func(w *wired) {
				w.run(2)
				w.sweep(1, 2)
				x.do(w)
				w.leads[1].slopes = map[int]float64{1: -0.5, 2: -0.5}
				w.run(2)
				w.sweep(1, 2)
			})
			list := follows(events, "output:1")
			require.NotEmpty(t, list)
			last := list[len(list)-1]
			assertSlope(t, -0.5, &last, 1)
			assertSlope(t, -0.5, &last, 2)
		})
	}
}

// A pulse and a frame are cheap and leave nothing behind.
func TestFollowsAllocations(t *testing.T) {
	w := newWired(t, bothLeads)
	w.run(2)
	w.sweep(1, 2, 4)
	w.raise()
	w.run(2)
	f := w.frame()
	at := unit.Time(w.at * 1e9)
	frame := event.Observation{Tap: 1, Kind: event.FrameSeen, Frame: &f, Pace: event.Pace{Known: true, Period: period}}
	p := event.Observation{Tap: 2, Kind: event.PulseSeen, Pulse: &event.Pulse{Output: 1, Width: 1_500_000}}
	quiet := func(string, unit.Time, string, any) {}
	assert.Zero(t, testing.AllocsPerRun(500, func() {
		at = at.Add(period)
		frame.At, frame.Wire, p.At, p.Wire = at, at, at, at
		for _, x := range w.list {
			x.See(&frame, &w.view, quiet)
			x.See(&p, &w.view, quiet)
		}
	}))
}

func BenchmarkLeads(b *testing.B) {
	w := newWired(b, bothLeads)
	w.leads[2].high = 1650
	w.run(2)
	w.sweep(1, 2, 4)
	w.raise()
	at := unit.Time(w.at * 1e9)
	quiet := func(string, unit.Time, string, any) {}
	b.Run("pulse", func(b *testing.B) {
		p := event.Observation{Tap: 2, Kind: event.PulseSeen, Pulse: &event.Pulse{Output: 2, Width: 1_500_000}}
		b.ReportAllocs()
		for b.Loop() {
			at = at.Add(20 * ms)
			p.At, p.Wire = at, at
			for _, x := range w.list {
				x.See(&p, &w.view, quiet)
			}
		}
	})
	b.Run("frame", func(b *testing.B) {
		f := w.frame()
		frame := event.Observation{Tap: 1, Kind: event.FrameSeen, Frame: &f, Pace: event.Pace{Known: true, Period: period}}
		b.ReportAllocs()
		for b.Loop() {
			at = at.Add(period)
			frame.At, frame.Wire = at, at
			for _, x := range w.list {
				x.See(&frame, &w.view, quiet)
			}
		}
	})
	b.Run("minute of stirring", func(b *testing.B) {
		for b.Loop() {
			w.sweep(1, 2, 4, 1, 2, 4, 1, 2, 4, 1, 2, 4, 1, 2)
		}
	})
}
