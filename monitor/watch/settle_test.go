package watch_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/controls"
)

const moded = plain + `stabiliser:
  windows: {from: guess}
  modes:
    damping:   {when: [{inner: [900, 1300]}]}
    upright: {when: [{inner: [1700, 2100]}]}
`

// settles are plays in which channel 11 stands at 1500 µs and then does something.
var settles = []struct {
	name     string
	every    unit.Duration // period
	play     func(*rig)
	reported bool // that it stands at low
}{
	{"five frames that take longer than 150 ms", 50 * ms, func(r *rig) { r.put(11, low); r.send(5) }, true},
	{"four frames, however long", 50 * ms, func(r *rig) { r.put(11, low); r.send(4) }, false},
	{"150 ms", 10 * ms, func(r *rig) { r.put(11, low); r.send(16) }, true},
	{"140 ms, however many frames", 10 * ms, func(r *rig) { r.put(11, low); r.send(15) }, false},
	{"on both sides of a silence", 10 * ms, func(r *rig) { r.put(11, low); r.send(4); r.silence(91 * ms); r.send(4) }, false},
	{"on both sides of a frame or a few that did not come", 10 * ms, func(r *rig) { r.put(11, low); r.send(4); r.silence(90 * ms); r.send(4) }, true},
	{"on both sides of a tap that went", 10 * ms, func(r *rig) { r.put(11, low); r.send(10); r.down(); r.send(10) }, false},
	{"in frames that were marked bad", 10 * ms, func(r *rig) {
		r.put(11, low)
		for range 30 {
			r.bad()
		}
	}, false},
	{"a value that trembles by 2.5 µs", 10 * ms, func(r *rig) {
		for range 20 {
			r.play(11, low, low+4)
		}
	}, true},
	{"a value that wanders, and then stands for 100 ms", 10 * ms, func(r *rig) {
		for n := range uint32(60) {
			r.play(11, low+5*(n%4))
		}
		r.put(11, low)
		r.send(11)
	}, false},
	{"a value that wanders", 10 * ms, func(r *rig) {
		for n := range uint32(60) {
			r.play(11, low+5*(n%4))
		}
	}, false},
}

func TestPositionSettles(t *testing.T) {
	for _, c := range settles {
		t.Run(c.name, func(t *testing.T) {
			events := reported(t, plain, func() base.Watcher { return &controls.Position{Tap: 1, Channel: 11} }, func(r *rig) {
				r.send(30)
				r.period = c.every
				c.play(r)
			})
			assert.Equal(t, c.reported, len(events) == 2, kinds(events))
		})
	}
}

func TestModeSettles(t *testing.T) {
	for _, c := range settles {
		t.Run(c.name, func(t *testing.T) {
			settled := 0
			var last base.Tap
			for _, e := range reported(t, moded, func() base.Watcher { return &controls.Mode{Tap: 1} }, func(r *rig) {
				r.send(30)
				r.period = c.every
				c.play(r)
				last = r.view.Taps[1]
			}) {
				if !e.Data.(event.ModeData).Passing {
					settled++
				}
			}
			assert.Equal(t, c.reported, settled == 2)
			assert.Equal(t, c.reported, last.Mode == "damping")
			assert.True(t, last.ModeKnown)
		})
	}
}

func TestModesThatAreTouched(t *testing.T) {
	for _, c := range []struct {
		name string
		play func(*rig)
		want []string // modes that were touched on the way
	}{
		{"four frames", func(r *rig) { r.send(30); r.play(11, low, low, low, low); r.put(11, high); r.send(30) }, []string{"damping"}},
		{"three frames", func(r *rig) { r.send(30); r.play(11, low, low, low); r.put(11, high); r.send(30) }, nil},
		{"before any stood", func(r *rig) { r.play(11, low, low, low, low); r.put(11, high); r.send(30) }, nil},
		{"twice, on one way", func(r *rig) {
			r.send(30)
			r.play(11, low, low, low, low, middle, middle, middle, middle, low, low, low, low)
			r.put(11, high)
			r.send(30)
		}, []string{"damping"}},
		{"once each way", func(r *rig) {
			r.send(30)
			r.play(11, low, low, low, low)
			r.put(11, high)
			r.send(30)
			r.play(11, low, low, low, low)
			r.put(11, middle)
			r.send(30)
		}, []string{"damping", "damping"}},
		{"one live frame, which the receiver repeats while it misses the next", func(r *rig) {
			r.send(30)
			r.play(11, low)
			r.flagged(9, lost)
			r.put(11, high)
			r.send(30)
		}, nil},
		{"four live frames, with missed ones between them", func(r *rig) {
			r.send(30)
			r.play(11, low, low)
			r.flagged(2, lost)
			r.play(11, low, low)
			r.put(11, high)
			r.send(30)
		}, []string{"damping"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, e := range reported(t, moded, func() base.Watcher { return &controls.Mode{Tap: 1} }, c.play) {
				if d := e.Data.(event.ModeData); d.Passing {
					got = append(got, d.Mode)
				}
			}
			assert.Equal(t, c.want, got)
		})
	}
}

// A stand that is complete while the receiver misses frames is reported with the first live
// one, if it stands there still: what a missed frame shows convinces nobody. With no live
// frame for longer it is reported as what it is.
func TestStandsAmongMissedFrames(t *testing.T) {
	for _, c := range []struct {
		name string
		play func(*rig)
		want []event.Signal // of what is reported
	}{
		{"live again", func(r *rig) { r.put(11, low); r.send(18); r.flagged(9, lost); r.send(4) }, []event.Signal{event.SignalLive}},
		{"elsewhere when it is live again", func(r *rig) { r.put(11, low); r.send(18); r.flagged(9, lost); r.put(11, high); r.send(4) }, []event.Signal{}},
		{"for good", func(r *rig) { r.put(11, low); r.send(18); r.flagged(90, lost) }, []event.Signal{event.SignalLost}},
	} {
		t.Run(c.name, func(t *testing.T) {
			play := func(r *rig) { r.send(30); c.play(r) }
			modes, places := []event.Signal{}, []event.Signal{}
			for _, e := range reported(t, moded, func() base.Watcher { return &controls.Mode{Tap: 1} }, play)[1:] {
				if d := e.Data.(event.ModeData); !d.Passing {
					modes = append(modes, d.Signal)
				}
			}
			for _, e := range reported(t, plain, func() base.Watcher { return &controls.Position{Tap: 1, Channel: 11} }, play)[1:] {
				places = append(places, e.Data.(event.SwitchData).Signal)
			}
			assert.Equal(t, c.want, modes)
			assert.Equal(t, c.want, places)
		})
	}
}

// A touch that comes back is over once the channels stand where they stood: it is reported
// so, and what is touched on the next way is reported again.
func TestATouchThatComesBackIsOver(t *testing.T) {
	var got []string
	for _, e := range reported(t, moded, func() base.Watcher { return &controls.Mode{Tap: 1} }, func(r *rig) {
		r.send(30)
		r.play(11, low, low, low, low)
		r.put(11, middle)
		r.send(60)
		r.play(11, low, low, low, low)
		r.put(11, high)
		r.send(60)
	}) {
		d := e.Data.(event.ModeData)
		got = append(got, fmt.Sprint(d.Was, ">", d.Mode, " ", d.Passing))
	}
	assert.Equal(t, []string{"> false", ">damping true", "> false", ">damping true", ">upright false"}, got)
}
