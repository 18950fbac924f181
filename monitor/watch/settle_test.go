package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/watch"
)

const moded = plain + `stabiliser:
  windows: {from: guess}
  modes:
    damped:    {when: [{sel-a: [900, 1300]}]}
    levelling: {when: [{sel-a: [1700, 2100]}]}
`

// settles are plays in which channel 10 stands at 1500 µs and then does something.
var settles = []struct {
	name  string
	every fact.Time // period
	play  func(*rig)
	told  bool // that it stands at low
}{
	{"five frames that take longer than 150 ms", 50 * ms, func(r *rig) { r.put(10, low); r.send(5) }, true},
	{"four frames, however long", 50 * ms, func(r *rig) { r.put(10, low); r.send(4) }, false},
	{"150 ms", 10 * ms, func(r *rig) { r.put(10, low); r.send(16) }, true},
	{"140 ms, however many frames", 10 * ms, func(r *rig) { r.put(10, low); r.send(15) }, false},
	{"on both sides of a silence", 10 * ms, func(r *rig) { r.put(10, low); r.send(4); r.silence(91 * ms); r.send(4) }, false},
	{"on both sides of a frame or a few that did not come", 10 * ms, func(r *rig) { r.put(10, low); r.send(4); r.silence(90 * ms); r.send(4) }, true},
	{"on both sides of a tap that went", 10 * ms, func(r *rig) { r.put(10, low); r.send(10); r.down(); r.send(10) }, false},
	{"in frames that were marked bad", 10 * ms, func(r *rig) {
		r.put(10, low)
		for range 30 {
			r.bad()
		}
	}, false},
	{"a value that trembles by 2.5 µs", 10 * ms, func(r *rig) {
		for range 20 {
			r.play(10, low, low+4)
		}
	}, true},
	{"a value that wanders, and then stands for 100 ms", 10 * ms, func(r *rig) {
		for n := range uint16(60) {
			r.play(10, low+5*(n%4))
		}
		r.put(10, low)
		r.send(11)
	}, false},
	{"a value that wanders", 10 * ms, func(r *rig) {
		for n := range uint16(60) {
			r.play(10, low+5*(n%4))
		}
	}, false},
}

func TestPositionSettles(t *testing.T) {
	for _, c := range settles {
		t.Run(c.name, func(t *testing.T) {
			events := told(t, plain, func() watch.Watcher { return &watch.Position{Tap: 1, Channel: 10} }, func(r *rig) {
				r.send(30)
				r.period = c.every
				c.play(r)
			})
			assert.Equal(t, c.told, len(events) == 2, kinds(events))
		})
	}
}

func TestModeSettles(t *testing.T) {
	for _, c := range settles {
		t.Run(c.name, func(t *testing.T) {
			settled := 0
			var last watch.Tap
			for _, e := range told(t, moded, func() watch.Watcher { return &watch.Mode{Tap: 1} }, func(r *rig) {
				r.send(30)
				r.period = c.every
				c.play(r)
				last = r.view.Taps[1]
			}) {
				if !e.Data.(fact.ModeData).Passing {
					settled++
				}
			}
			assert.Equal(t, c.told, settled == 2)
			assert.Equal(t, c.told, last.Mode == "damped")
			assert.True(t, last.Asked)
		})
	}
}

func TestModesThatAreTouched(t *testing.T) {
	for _, c := range []struct {
		name string
		play func(*rig)
		want []string // modes that were touched on the way
	}{
		{"four frames", func(r *rig) { r.send(30); r.play(10, low, low, low, low); r.put(10, high); r.send(30) }, []string{"damped"}},
		{"three frames", func(r *rig) { r.send(30); r.play(10, low, low, low); r.put(10, high); r.send(30) }, nil},
		{"before any stood", func(r *rig) { r.play(10, low, low, low, low); r.put(10, high); r.send(30) }, nil},
		{"twice, on one way", func(r *rig) {
			r.send(30)
			r.play(10, low, low, low, low, middle, middle, middle, middle, low, low, low, low)
			r.put(10, high)
			r.send(30)
		}, []string{"damped"}},
		{"once each way", func(r *rig) {
			r.send(30)
			r.play(10, low, low, low, low)
			r.put(10, high)
			r.send(30)
			r.play(10, low, low, low, low)
			r.put(10, middle)
			r.send(30)
		}, []string{"damped", "damped"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, e := range told(t, moded, func() watch.Watcher { return &watch.Mode{Tap: 1} }, c.play) {
				if d := e.Data.(fact.ModeData); d.Passing {
					got = append(got, d.Mode)
				}
			}
			assert.Equal(t, c.want, got)
		})
	}
}
