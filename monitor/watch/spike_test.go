package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/controls"
)

func newSpike() base.Watcher { return &controls.Spike{Tap: 1} }

// away sends frames at other counts after a number of frames that stood, and then the
// count that it comes back to.
func away(stood int, back uint32, counts ...uint32) func(*rig) {
	return func(r *rig) {
		r.put(4, 1200)
		r.send(5)
		r.put(4, middle)
		r.send(stood)
		r.play(4, counts...)
		r.put(4, back)
		r.send(20)
	}
}

func TestSpike(t *testing.T) {
	for _, c := range []struct {
		name   string
		play   func(*rig)
		spikes int
	}{
		{"one frame", away(20, middle, 1400), 1},
		{"three frames", away(20, middle, 1400, 1500, 1400), 1},
		{"four frames are a movement", away(20, middle, 1400, 1400, 1400, 1400), 0},
		{"24 counts", away(20, middle, middle-24), 1},
		{"23 counts", away(20, middle, middle+23), 0},
		{"back within two counts", away(20, middle-2, 1400), 1},
		{"three counts beside", away(20, middle+3, 1400), 0},
		{"ten frames stood", away(10, middle, 1400), 1},
		{"nine frames stood", away(9, middle, 1400), 0},
		{"a step", away(20, 1400, 1400), 0},
		{"a frame that was marked bad", func(r *rig) { r.send(20); r.put(4, high); r.bad(); r.put(4, middle); r.send(20) }, 0},
		{"beside a frame that was marked bad", func(r *rig) {
			r.send(20)
			r.play(4, high)
			r.bad()
			r.play(4, middle)
			r.send(20)
		}, 0},
		{"soon after damage", func(r *rig) { r.send(20); r.bad(); r.send(5); r.play(4, high, middle); r.send(20) }, 0},
		{"beside a frame that was refused", func(r *rig) {
			r.send(20)
			r.play(4, high)
			r.refused(25)
			r.play(4, middle)
			r.send(20)
		}, 0},
		{"among some talk between frames", func(r *rig) {
			for range 20 {
				r.send(1)
				r.refused(4)
			}
			r.play(4, high)
			r.refused(4)
			r.play(4, middle)
		}, 1},
		{"a frame of a failsafe", func(r *rig) {
			r.send(20)
			r.put(4, high)
			r.flagged(2, bus.Failsafe)
			r.put(4, middle)
			r.send(20)
		}, 0},
		{"a frame that was missed", func(r *rig) {
			r.send(20)
			r.put(4, high)
			r.flagged(1, bus.Lost)
			r.put(4, middle)
			r.send(20)
		}, 0},
		{"around a silence", func(r *rig) { r.send(20); r.play(4, high); r.silence(unit.Second); r.play(4, middle); r.send(20) }, 0},
		{"around a tap that went", func(r *rig) { r.send(20); r.play(4, high); r.down(); r.play(4, middle); r.send(20) }, 0},
		{"to and fro all the time is no spike but the first", func(r *rig) {
			r.send(20)
			for range 20 {
				r.play(4, high, middle)
			}
		}, 1},
		{"sixteen at once: ten a second", func(r *rig) {
			r.send(20)
			everything(r)
			r.send(20)
			everything(r)
		}, 10},
		{"and ten in the next", func(r *rig) {
			r.send(20)
			everything(r)
			r.send(143)
			everything(r)
		}, 20},
	} {
		t.Run(c.name, func(t *testing.T) {
			events := reported(t, plain, newSpike, c.play)
			assert.Len(t, events, c.spikes)
		})
	}
}

// everything sends one frame with other values in all channels, and one as before.
func everything(r *rig) {
	was := r.frame
	for ch := range r.frame.Counts {
		r.frame.Counts[ch] ^= 0x2AA
	}
	r.send(1)
	r.frame = was
	r.send(1)
}

func TestSpikeSaysHowFar(t *testing.T) {
	var from unit.Time
	e := one(t, reported(t, plain, newSpike, func(r *rig) {
		r.send(20)
		from = r.play(4, 912, 832, 932, middle)
	}))
	assert.Equal(t, event.Event{At: from.Add(3 * period), From: from, Kind: event.ValueSpiked, About: "channel:4", Data: event.ValueSpikedData{
		Tap: "main", Channel: 4, FromNS: 1_500_000, ToNS: 1_400_000, Frames: 3,
	}}, e)
}
