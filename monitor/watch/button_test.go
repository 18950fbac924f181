package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/controls"
)

const spare = plain + "mark_button: {channel: teach, when: pressed}\n"

func TestButton(t *testing.T) {
	for _, c := range []struct {
		name  string
		play  func(*rig)
		marks int
	}{
		{"four frames", func(r *rig) { presses(1, 4, 4)(r) }, 1},
		{"three frames", func(r *rig) { presses(3, 3, 4)(r) }, 0},
		{"held while the bus begins", func(r *rig) { r.put(15, high); r.send(9) }, 0},
		{"held on", func(r *rig) { presses(1, 20, 1)(r) }, 1},
		{"three frames let it not go", func(r *rig) { presses(3, 9, 3)(r) }, 1},
		{"twice", func(r *rig) { presses(2, 4, 4)(r) }, 2},
		{"just nearer to its place", func(r *rig) { r.put(15, low); r.send(4); r.put(15, 993); r.send(4) }, 1},
		{"just nearer to the other", func(r *rig) { r.put(15, low); r.send(4); r.put(15, 990); r.send(4) }, 0},
		{"pressed by a receiver", func(r *rig) {
			r.play(15, low, low, low, low)
			r.put(15, high)
			r.flagged(5, lost)
			r.flagged(5, failed)
			r.send(5)
		}, 0},
		{"pressed by a preset", func(r *rig) { r.play(15, low, low, low, low); r.send(9); leap(r, 3, 500); r.put(15, high); r.send(30) }, 0},
		{"pressed while nobody listened", func(r *rig) {
			r.play(15, low, low, low, low)
			r.silence(unit.Second)
			r.play(15, high, high, high, high)
		}, 0},
		{"pressed while the tap was away", func(r *rig) { r.play(15, low, low, low, low); r.down(); r.play(15, high, high, high, high) }, 0},
		{"in frames that were marked bad", func(r *rig) {
			r.play(15, low, low, low, low)
			r.put(15, high)
			for range 9 {
				r.bad()
			}
		}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Len(t, reported(t, spare, func() base.Watcher { return &controls.Button{Tap: 1} }, c.play), c.marks)
		})
	}
}
