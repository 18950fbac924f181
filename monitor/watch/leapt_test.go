package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Many channels that leap in one frame, and back, are presets; with a switch that leapt
// along and is back, too, it may have been a flight phase.
func TestFrozenPresets(t *testing.T) {
	held, paused := []string{event.ValuesStill, event.ValuesMoving}, []string{event.ValuesPaused}
	presets := func(r *rig) { r.put(1, middle); r.put(2, middle); r.put(3, low); r.send(100) }
	back := func(r *rig) { r.put(1, 700); r.put(2, 600); r.put(3, 1400); r.send(100) }
	hand := func(r *rig) { stroke(r, 1300, 30, 1, 4) }
	for _, c := range []struct {
		name string
		play func(*rig)
		want []string
	}{
		{"there and back", func(r *rig) { back(r); presets(r); back(r); hand(r) }, held},
		{"there and elsewhere: a hand had moved meanwhile", func(r *rig) {
			back(r)
			presets(r)
			r.put(1, 800)
			r.put(2, 500)
			r.put(3, 1200)
			r.send(100)
			hand(r)
		}, held},
		{"there, and no more", func(r *rig) { back(r); presets(r); hand(r) }, paused},
		{"two sticks, and no throttle", func(r *rig) {
			back(r)
			r.put(1, middle)
			r.put(2, middle)
			r.put(4, 700)
			r.send(100)
			r.put(4, middle)
			back(r)
			hand(r)
		}, paused},
		{"a flight phase, its own switch with it", func(r *rig) {
			r.put(11, low)
			back(r)
			r.put(11, high)
			presets(r)
			r.put(11, low)
			back(r)
			hand(r)
		}, []string{}},
		{"a switch that is elsewhere then is no flight phase", func(r *rig) {
			r.put(11, low)
			back(r)
			r.put(11, high)
			presets(r)
			r.put(11, middle)
			back(r)
			hand(r)
		}, held},
		{"three wrong frames", func(r *rig) {
			back(r)
			r.put(1, middle)
			r.put(2, middle)
			r.put(3, low)
			r.send(3)
			back(r)
			hand(r)
		}, []string{}},
		{"while frames are flagged", func(r *rig) {
			back(r)
			r.frame.Flags = failed
			presets(r)
			r.frame.Flags = 0
			back(r)
			hand(r)
		}, []string{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, kinds(reported(t, lossSheet, newStillness, c.play)))
		})
	}
}

// A stick that is let go springs back within a frame or two, at any pace of the bus.
func TestFrozenSprings(t *testing.T) {
	for _, p := range []unit.Duration{7 * ms, 11 * ms, 14 * ms, 22 * ms} {
		list := reported(t, plain, newStillness, func(r *rig) {
			r.period = p
			stirs(r)
			for range 4 {
				for _, share := range []int{200, 500, 800} {
					stroke(r, middle+share, 30, 1, 1, 2)
					r.send(int(700 * ms / p))
					for _, part := range []int{2, 1, 0} { // let go
						r.put(1, uint32(middle+share*part/3))
						r.put(2, uint32(middle+share*part/3))
						r.send(1)
					}
					r.send(int(700 * ms / p))
				}
			}
		})
		assert.NotContains(t, kinds(list), event.ValuesStill, p)
	}
}
