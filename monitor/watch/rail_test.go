package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/controls"
)

func newRail() base.Watcher { return &controls.Rail{Tap: 1} }

func TestRail(t *testing.T) {
	const top = 2047
	for _, c := range []struct {
		name string
		play func(*rig)
		want []string
	}{
		{"a value below the rail", func(r *rig) { r.play(3, 2046); r.send(50) }, []string{}},
		{"49 ms", func(r *rig) { r.put(3, top); r.send(8); r.put(3, middle); r.send(9) }, []string{}},
		{"56 ms", func(r *rig) { r.put(3, top); r.send(9); r.put(3, middle); r.send(9) }, []string{event.TravelClipped, event.TravelFree}},
		{"four slow frames", func(r *rig) { r.period = 20 * ms; r.put(3, 0); r.send(4); r.put(3, 1); r.send(9) }, []string{}},
		{"five slow frames", func(r *rig) { r.period = 20 * ms; r.put(3, 0); r.send(5) }, []string{event.TravelClipped}},
		{"still there", func(r *rig) { r.put(3, 0); r.send(500) }, []string{event.TravelClipped}},
		{"three frames away are no leaving", func(r *rig) {
			r.put(3, 0)
			r.send(20)
			for range 5 {
				r.play(3, middle, middle, middle, 0)
			}
		}, []string{event.TravelClipped}},
		{"four frames away are", func(r *rig) { r.put(3, 0); r.send(20); r.play(3, 1, 1, 1, 1) }, []string{event.TravelClipped, event.TravelFree}},
		{"never nine frames at a time", func(r *rig) {
			for range 5 {
				r.play(3, top, top, top, top, top, top, top, middle)
			}
		}, []string{}},
		{"from one rail to the other", func(r *rig) { r.put(3, 0); r.send(20); r.put(3, top); r.send(20) },
			[]string{event.TravelClipped, event.TravelFree, event.TravelClipped}},
		{"between the rails", func(r *rig) {
			for range 20 {
				r.play(3, 0, top)
			}
		}, []string{}},
		{"damaged frames stand nowhere", func(r *rig) {
			r.put(3, 0)
			for range 30 {
				r.bad()
			}
		}, []string{}},
		{"nor did it stand through a silence", func(r *rig) { r.put(3, 0); r.send(4); r.silence(unit.Second); r.send(4) }, []string{}},
		{"a tap that goes ends it", func(r *rig) { r.put(3, 0); r.send(6); r.down(); r.send(6) }, []string{}},
		{"the last channel", func(r *rig) { r.put(16, 0); r.send(20) }, []string{event.TravelClipped}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, kinds(reported(t, plain, newRail, c.play)))
		})
	}
}

func TestRailSaysWhereAndHowLong(t *testing.T) {
	var came, left unit.Time
	events := reported(t, plain, newRail, func(r *rig) {
		r.send(5)
		r.put(9, 2047)
		came = r.send(20)
		r.put(9, 2000)
		left = r.send(5)
	})
	require.Len(t, events, 2)
	assert.Equal(t, event.Event{At: came.Add(8 * period), From: came, Kind: event.TravelClipped, About: "channel:9", Data: event.TravelClippedData{
		Tap: "main", Channel: 9, Count: 2047, WidthNS: 2_159_375, DwellNS: 8 * period, Signal: event.SignalLive,
	}}, events[0])
	assert.Equal(t, event.Event{At: left.Add(3 * period), From: left, Kind: event.TravelFree, About: "channel:9", Data: event.TravelClippedData{
		Tap: "main", Channel: 9, Count: 2047, WidthNS: 2_159_375, DwellNS: 19 * period, Signal: event.SignalLive,
	}}, events[1])
}

func TestRailInFailsafeIsTheReceivers(t *testing.T) {
	e := one(t, reported(t, plain, newRail, func(r *rig) {
		r.send(5)
		r.put(3, 0)
		r.flagged(20, bus.Failsafe)
	}))
	assert.Equal(t, event.SignalFailsafe, e.Data.(event.TravelClippedData).Signal)
}
