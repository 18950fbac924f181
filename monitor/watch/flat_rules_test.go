package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What looks like a limit for a moment, each in a drill, where once is enough.
func TestWhatIsNoLimit(t *testing.T) {
	steadily := func(r *rig, from, to int, by int) {
		for c := from; c != to; c += by {
			r.play(1, uint16(c))
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
		{"what a receiver repeats", func(r *rig) {
			r.frame.Flags = lost
			steadily(r, 992, 1592, 12)
			r.send(60)
			steadily(r, 1568, 968, -12)
		}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Len(t, told(t, plain, newFlat, func(r *rig) {
				r.view.Drill = "ends"
				r.send(20)
				c.play(r)
			}), c.want)
		})
	}
}
