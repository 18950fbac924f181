package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What looks like a limit for a moment, each in a drill, where once is enough.
func TestWhatIsNoLimit(t *testing.T) {
	steadily := func(r *rig, from, to int, by int) {
		for c := from; c != to; c += by {
			r.play(1, uint32(c))
		}
	}
	for _, c := range []struct {
		name string
		play func(*rig)
		want int
	}{
		{"a limit, to compare", func(r *rig) {
			steadily(r, 992, 1592, 12)
			r.send(60)
			steadily(r, 1568, 968, -12)
		}, 1},
		{"left as fast as a hand may", func(r *rig) {
			steadily(r, 992, 1592, 12)
			r.send(60)
			steadily(r, 1527, 149, -53) // 318 counts in 42 ms
		}, 1},
		{"let go, it springs away", func(r *rig) {
			steadily(r, 992, 1592, 12)
			r.send(60)
			steadily(r, 1526, 122, -54) // 324
		}, 0},
		{"a stick that stops and goes on", func(r *rig) {
			steadily(r, 992, 1592, 12)
			r.send(60)
			steadily(r, 1592, 1832, 12)
		}, 0},
		{"a hand that slows down", func(r *rig) {
			steadily(r, 992, 1592, 12)
			steadily(r, 1592, 1610, 3)
			r.send(60)
			steadily(r, 1595, 995, -12)
		}, 0},
		{"the end that the sheet has", func(r *rig) {
			steadily(r, 992, 1808, 12)
			r.send(60)
			steadily(r, 1796, 968, -12)
			steadily(r, 968, 176, -12)
			r.send(60)
			steadily(r, 188, 968, 12)
		}, 0},
		{"as near to it as a hand comes", func(r *rig) {
			steadily(r, 992, 1796, 12) // to 1995 µs: 17 short
			r.send(60)
			steadily(r, 1772, 968, -12)
		}, 0},
		{"short of it", func(r *rig) {
			steadily(r, 992, 1784, 12) // to 1987.5 µs: 24.5 short
			r.send(60)
			steadily(r, 1760, 968, -12)
		}, 1},
		{"short of the lower one", func(r *rig) {
			steadily(r, 992, 200, -12) // to 1012.5 µs: 24.5 short
			r.send(60)
			steadily(r, 224, 968, 12)
		}, 1},
		{"what a receiver repeats", func(r *rig) {
			r.frame.Flags = lost
			steadily(r, 992, 1592, 12)
			r.send(60)
			steadily(r, 1568, 968, -12)
		}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Len(t, reported(t, plain, newFlat, func(r *rig) {
				r.view.Drill = "ends"
				r.send(20)
				c.play(r)
			}), c.want)
		})
	}
}
