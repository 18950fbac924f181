package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/fact"
)

// clips are what was told of an output's ends, in order.
func clips(list []fact.Event, about string) (some []fact.OutputClipData) {
	for _, e := range of(list, fact.OutputClipped, about) {
		some = append(some, e.Data.(fact.OutputClipData))
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
		assert.InDelta(t, 1_650_000, d.WidthNS, 2_000)
		assert.InDelta(t, 104_000, d.BeyondNS, 12_000)
		assert.Equal(t, []int{1 + i}, d.Channels)
	}
	assert.Len(t, upper, 2, "once for each stick that was pushed to that end")
	for _, e := range of(events, fact.OutputClipped, "output:2") {
		assert.LessOrEqual(t, e.From, e.At)
	}
	lower := clips(events, "output:3")
	require.Len(t, lower, 2, "up from there, and down again")
	assert.False(t, lower[0].Upper)
	assert.InDelta(t, 112_000, lower[0].BeyondNS, 12_000)
	assert.Equal(t, []int{3}, lower[0].Channels)
}

// Each visit is told once, also if a wrong pulse comes in between.
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
	assert.InDelta(t, 150_000, last.BeyondNS, 12_000)
	assert.Equal(t, []int{1}, last.Channels)
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
		{"hardly cut off", func(w *wired) { w.leads[1].high = 1740 }},
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
				assert.NotEqual(t, fact.OutputClipped, e.Kind, "%+v", e)
			}
		})
	}
}
