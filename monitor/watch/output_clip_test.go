package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/mix"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/leads"
)

// clips are what was reported of an output's ends, in order.
func clips(list []event.Event, about string) (some []event.OutputClipData) {
	for _, e := range of(list, event.OutputClipped, about) {
		some = append(some, e.Data.(event.OutputClipData))
	}
	return some
}

func TestOutClip(t *testing.T) {
	events := played(t, bothLeads, func(w *wired) {
		w.leads[2].high = 1650
		w.leads[3].low = 1100
		w.run(2)
		w.sweep(1, 2, 4)
		w.raise()
	})
	assert.Empty(t, clips(events, "output:1"))
	upper := clips(events, "output:2")
	require.NotEmpty(t, upper)
	for i, d := range upper {
		assert.True(t, d.Upper)
		assert.InDelta(t, 1_650_000, int64(d.WidthNS), 2_000)
		assert.InDelta(t, 104_000, int64(d.BeyondNS), 12_000)
		assert.Equal(t, []int{1 + i}, d.Channels)
	}
	assert.Len(t, upper, 2, "once for each stick that was pushed to that end")
	for _, e := range of(events, event.OutputClipped, "output:2") {
		assert.LessOrEqual(t, e.From, e.At)
	}
	lower := clips(events, "output:3")
	require.Len(t, lower, 2, "up from there, and down again")
	assert.False(t, lower[0].Upper)
	assert.InDelta(t, 112_000, int64(lower[0].BeyondNS), 12_000)
	assert.Equal(t, []int{3}, lower[0].Channels)
}

// Each visit is reported once, also if a wrong pulse comes in between.
func TestOutClipVisits(t *testing.T) {
	events := played(t, bothLeads, func(w *wired) {
		w.leads[2].low = 1400
		w.run(2)
		w.sweep(1, 2)
		before := len(clips(w.events, "output:2"))
		for range 3 {
			w.base[1] = 1300
			w.run(0.5)
			w.base[1] = 1000
			w.run(0.6)
			w.odd[2] = 1900
			w.run(0.6)
			w.base[1] = 1500
			w.run(0.5)
		}
		require.Len(t, clips(w.events, "output:2"), before+3)
	})
	list := clips(events, "output:2")
	last := list[len(list)-1]
	assert.False(t, last.Upper)
	assert.InDelta(t, 150_000, int64(last.BeyondNS), 12_000)
	assert.Equal(t, []int{1}, last.Channels)
}

// What makes a visit, on both sides of each bound. Output 1 is moved by aileron, one to
// one, and cut off at 1700 µs; a fit has shown so.
func TestWhatIsAVisit(t *testing.T) {
	stand := func(us, seconds float64) func(*wired) {
		return func(w *wired) { w.base[1] = us; w.run(seconds); w.base[1] = 1500; w.run(1) }
	}
	for _, x := range []struct {
		name string
		do   func(w *wired)
		want int
	}{
		{"beyond", stand(1711.25, 1), 1},
		{"hardly beyond", stand(1708.75, 1), 0},
		{"beyond, but the fit is not so sure", func(w *wired) {
			w.view.Taps[2].Fits.Of(1).Fit.Off = 10_000
			stand(1738.75, 1)(w)
		}, 0},
		{"beyond by more than it is unsure", func(w *wired) {
			w.view.Taps[2].Fits.Of(1).Fit.Off = 10_000
			stand(1742.5, 1)(w)
		}, 1},
		{"while another channel, of which little is known, may hold it back", func(w *wired) {
			w.view.Taps[2].Fits.Of(1).Fit.Open = []mix.Term{{Channel: 2, HalfInterval: 500_000}}
			w.base[2] = 1800
			stand(1800, 1)(w)
		}, 0},
		{"while it stands at its neutral", func(w *wired) {
			w.view.Taps[2].Fits.Of(1).Fit.Open = []mix.Term{{Channel: 2, HalfInterval: 500_000}}
			stand(1800, 1)(w)
		}, 1},
		{"for long enough", stand(1900, 0.13), 1},
		{"for a moment", stand(1900, 0.063), 0},
		{"at the limit for long, beyond for a moment", func(w *wired) {
			w.base[1] = 1700
			w.run(1)
			stand(1900, 0.063)(w)
		}, 0},
		{"not flat at the limit", func(w *wired) {
			w.leads[1].high = 1690
			stand(1900, 1)(w)
		}, 0},
		{"not flat for a part of it", func(w *wired) {
			w.base[1] = 1900
			w.run(1)
			w.leads[1].high = 1704
			w.run(0.3)
			w.leads[1].high = 1700
			stand(1900, 1)(w)
		}, 1},
		{"without a signal", func(w *wired) {
			w.flags = bus.Failsafe
			stand(1900, 1)(w)
		}, 0},
		{"values that leapt", func(w *wired) {
			w.view.Taps[1].Suspect = true
			stand(1900, 1)(w)
		}, 0},
		{"a drill that tilts", func(w *wired) {
			w.view.Drill = drill.Correction
			stand(1900, 1)(w)
		}, 0},
	} {
		t.Run(x.name, func(t *testing.T) {
			events := played(t, func() []base.Watcher { return []base.Watcher{&leads.OutputClip{Tap: 2}} }, func(w *wired) {
				cutOff(w)
				w.run(1)
				require.Len(t, clips(w.events, "output:1"), 1, "what the fit came upon")
				x.do(w)
			})
			assert.Len(t, clips(events, "output:1"), 1+x.want)
		})
	}
}

// Only channels that move the output went on.
func TestWhichChannelsWentOn(t *testing.T) {
	events := played(t, func() []base.Watcher { return []base.Watcher{&leads.OutputClip{Tap: 2}} }, func(w *wired) {
		cutOff(w)
		w.view.Taps[2].Fits.Of(1).Fit.Terms = append(w.view.Taps[2].Fits.Of(1).Fit.Terms, mix.Term{Channel: 4, PPM: 3_000})
		w.run(1)
		w.base[1] = 1700
		w.run(0.3)
		w.base[1], w.base[2], w.base[4] = 1900, 1200, 1900
		w.run(1)
	})
	list := clips(events, "output:1")
	require.Len(t, list, 2)
	assert.Equal(t, []int{1}, list[1].Channels)
}

// A motor that is cut off at its low end by 20 µs is named.
func TestAMotorsLowEnd(t *testing.T) {
	for low, want := range map[float64]int{700: 0, 1008: 1} {
		events := played(t, bothLeads, func(w *wired) {
			w.leads[3].low = low
			w.run(2)
			w.sweep(1, 2)
			for range 6 {
				w.raise()
			}
		})
		list := clips(events, "output:3")
		require.Equal(t, want, min(1, len(list)), "%v", list)
		for _, d := range list {
			assert.False(t, d.Upper)
			assert.InDelta(t, 20_000, int64(d.BeyondNS), 5_000)
			assert.Equal(t, []int{3}, d.Channels)
		}
	}
}

// cutOff has output 1 cut off at 1700 µs, and a fit that found it.
func cutOff(w *wired) {
	w.first = nil
	w.leads[1] = &lead{slopes: map[int]float64{1: 1}, low: 700, high: 1700}
	w.view.Taps[2].SetFit(base.OutputFit{Output: 1, Fit: mix.Fit{
		Terms: []mix.Term{{Channel: 1, PPM: 1_000_000}}, Neutral: 1_500_000, Sum: 1_500_000,
		High: mix.Limit{Width: 1_700_000, Beyond: 100_000, Channels: []int{1}}, Delay: 45e6,
	}})
}

func TestAnotherModesLimit(t *testing.T) {
	events := played(t, func() []base.Watcher { return []base.Watcher{&leads.OutputClip{Tap: 2}} }, func(w *wired) {
		cutOff(w)
		w.view.Taps[2].Fits.Of(1).Mode = "upright"
		w.base[1] = 1900
		w.run(2)
	})
	assert.Empty(t, events)
}

func TestNoOutClip(t *testing.T) {
	for _, x := range []struct {
		name string
		do   func(w *wired)
	}{
		{"nothing is cut off", func(*wired) {}},
		{"the transmitter cuts it off", func(w *wired) { w.most = 1700 }},
		{"a dead band", func(w *wired) { w.leads[1].flat, w.leads[2].flat = 30, 30 }},
		{"a wrong mix", func(w *wired) { w.leads[1].slopes = map[int]float64{2: 0.5} }},
		{"a dead output", func(w *wired) { w.leads[1].slopes = nil }},
		{"hardly cut off", func(w *wired) { w.leads[1].high = 1746 }},
	} {
		t.Run(x.name, func(t *testing.T) {
			events := played(t, bothLeads, func(w *wired) {
				x.do(w)
				w.run(2)
				w.sweep(1, 2)
				w.raise()
				w.sweep(1, 2)
			})
			for _, e := range events {
				assert.NotEqual(t, event.OutputClipped, e.Kind, "%+v", e)
			}
		})
	}
}
