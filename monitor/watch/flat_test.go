package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/controls"
)

func newFlat() base.Watcher { return &controls.Flat{Tap: 1} }

// limited moves a stick to a limit and back, 12 counts a frame.
func limited(r *rig, channel int, limit uint32) {
	r.put(channel, middle)
	r.send(20)
	for c := uint32(middle); c < limit; c += 12 {
		r.play(channel, c)
	}
	r.put(channel, limit)
	r.send(60)
	for c := limit - 12; c > middle; c -= 12 {
		r.play(channel, c)
	}
}

// thrown moves a stick to its stop, 12 counts a frame, and throws it to the other end.
func thrown(r *rig) {
	for c := uint32(low); c < high; c += 12 {
		r.play(1, c)
	}
	r.put(1, high)
	r.send(60)
	for c := uint32(high - 60); c > low+60; c -= 60 {
		r.play(1, c)
	}
}

// passing stops a stick at a place and goes on.
func passing(r *rig) {
	for c := uint32(low); c < 1200; c += 12 {
		r.play(1, c)
	}
	r.put(1, 1200)
	r.send(60)
	for c := uint32(1212); c < high; c += 12 {
		r.play(1, c)
	}
}

func TestALimitIsToldTheSecondTimeOrInADrill(t *testing.T) {
	for _, c := range []struct {
		name string
		play func(*rig)
		want int
	}{
		{"once", func(r *rig) { limited(r, 1, 1600) }, 0},
		{"twice", func(r *rig) { limited(r, 1, 1600); limited(r, 1, 1600) }, 1},
		{"three times", func(r *rig) { limited(r, 1, 1600); limited(r, 1, 1600); limited(r, 1, 1600) }, 2},
		{"one count apart", func(r *rig) { limited(r, 1, 1600); limited(r, 1, 1601) }, 1},
		{"two counts apart", func(r *rig) { limited(r, 1, 1600); limited(r, 1, 1602) }, 0},
		{"on two channels", func(r *rig) { limited(r, 1, 1600); limited(r, 2, 1600) }, 0},
		{"twice, as the hand slides along the stop", func(r *rig) {
			r.each = func() { r.put(2, middle+uint32(int64(r.at)/int64(period)%50)*6) }
			limited(r, 1, 1600)
			limited(r, 1, 1600)
		}, 0},
		{"twice, thrown to the other end", func(r *rig) { thrown(r); thrown(r) }, 0},
		{"twice, and on the same way", func(r *rig) { passing(r); passing(r) }, 0},
		{"with a silence between", func(r *rig) { limited(r, 1, 1600); r.silence(unit.Second); limited(r, 1, 1600) }, 1},
		{"once, in a drill", func(r *rig) { r.view.Drill = "ends"; limited(r, 1, 1600) }, 1},
		{"in a drill, under suspicion", func(r *rig) {
			r.view.Drill = "ends"
			r.each = func() { r.view.Taps[1].Suspect = true }
			r.before = nil
			limited(r, 1, 1600)
		}, 0},
		{"a knob, in a drill", func(r *rig) { r.view.Drill = "gain"; limited(r, 9, 1600) }, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			list := reported(t, plain, newFlat, c.play)
			assert.Len(t, list, c.want)
			for i, e := range list {
				d := e.Data.(event.TravelClippedData)
				assert.Equal(t, c.name != "once, in a drill" || i > 0, d.Again)
				assert.True(t, d.Short)
				assert.InDelta(t, 1600, d.Count, 2)
				assert.InDelta(t, float64(60*period), float64(d.DwellNS), float64(period))
			}
		})
	}
}
