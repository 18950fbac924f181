package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/link"
)

// jumped is what the only watcher for jumps has to say.
func jumped(t *testing.T, play func(*rig)) []event.Event {
	return reported(t, plain, func() base.Watcher { return &link.Jump{Tap: 1} }, func(r *rig) {
		r.before = []base.Watcher{&link.Failsafe{Tap: 1}, &link.Link{Tap: 1}, base.NewCleaned(&r.view, 1)}
		play(r)
	})
}

// leap puts a number of channels, from the first on, so far from the middle.
func leap(r *rig, channels, counts int) {
	for ch := 1; ch <= channels; ch++ {
		r.put(ch, uint32(middle+counts))
	}
}

func TestJump(t *testing.T) {
	for _, c := range []struct {
		name    string
		play    func(*rig)
		jumps   int
		suspect bool // in the end
	}{
		{"three channels by 32 counts that stand for twenty frames", func(r *rig) { r.send(9); leap(r, 3, 32); r.send(21 + 3) }, 1, true},
		{"nineteen frames are not told yet, but suspected", func(r *rig) { r.send(9); leap(r, 3, -32); r.send(20 + 3) }, 0, true},
		{"suspected three frames late", func(r *rig) { r.send(9); leap(r, 3, -32); r.send(1 + 3) }, 0, true},
		{"and not sooner", func(r *rig) { r.send(9); leap(r, 3, -32); r.send(3) }, 0, false},
		{"two channels", func(r *rig) { r.send(9); leap(r, 2, 500); r.send(60) }, 0, false},
		{"31 counts", func(r *rig) { r.send(9); leap(r, 16, 31); r.send(60) }, 0, false},
		{"three frames", func(r *rig) { r.send(9); leap(r, 16, 500); r.send(3); leap(r, 16, 0); r.send(60) }, 0, false},
		{"four frames, and back, are two leaps", func(r *rig) { r.send(9); leap(r, 16, 500); r.send(4); leap(r, 16, 0); r.send(60) }, 1, true},
		{"three frames stray", func(r *rig) {
			r.send(9)
			leap(r, 3, 500)
			r.send(5)
			leap(r, 1, 504)
			r.send(3)
			leap(r, 1, 500)
			r.send(24)
		}, 1, true},
		{"four frames stray: hands go on", func(r *rig) { r.send(9); leap(r, 3, 500); r.send(5); leap(r, 1, 504); r.send(60) }, 0, false},
		{"four, of which one goes on: a hand beside presets", func(r *rig) { r.send(9); leap(r, 4, 500); r.send(5); leap(r, 1, 504); r.send(20) }, 1, true},
		{"a tremor of three counts", func(r *rig) { r.send(9); leap(r, 3, 500); r.send(5); leap(r, 1, 503); r.send(20) }, 1, true},
		{"a leap during the leap", func(r *rig) { r.send(9); leap(r, 3, 500); r.send(5); leap(r, 3, 800); r.send(24) }, 1, true},
		{"back again after five frames is another leap", func(r *rig) { r.send(9); leap(r, 3, 500); r.send(5); leap(r, 3, 0); r.send(60) }, 1, true},
		{"in frames that were marked bad", func(r *rig) {
			r.send(9)
			leap(r, 3, 500)
			for range 9 {
				r.bad()
			}
			leap(r, 3, 0)
			r.send(60)
		}, 0, false},
		{"in flagged frames", func(r *rig) { r.send(9); leap(r, 3, 500); r.flagged(60, lost); r.flagged(60, failed) }, 0, false},
		{"in a failsafe", func(r *rig) { r.send(9); r.flagged(60, failed); leap(r, 3, 500); r.flagged(60, failed) }, 0, false},
		{"at the return from a failsafe", func(r *rig) { r.send(9); leap(r, 3, 500); r.flagged(60, failed); leap(r, 3, 0); r.send(60) }, 0, false},
		{"while it was gone", func(r *rig) { r.send(9); r.flagged(60, failed); leap(r, 3, 500); r.send(60) }, 0, false},
		{"over a frame or two that were missed", func(r *rig) { r.send(9); leap(r, 3, 500); r.flagged(2, lost); r.send(24) }, 1, true},
		{"over a silence", func(r *rig) { r.send(12); r.silence(95 * ms); leap(r, 3, 500); r.send(60) }, 1, true},
		{"over a silence, and hands go on", func(r *rig) {
			r.send(9)
			r.silence(95 * ms)
			leap(r, 3, 500)
			r.send(9)
			leap(r, 1, 504)
			r.send(60)
		}, 0, false},
		{"over a silence in which the frames before it were given", func(r *rig) {
			r.send(9)
			r.silence(unit.Second)
			r.see(&event.Observation{At: r.at, Kind: event.InputBeat})
			leap(r, 3, 500)
			r.send(60)
		}, 0, false},
		{"over just less", func(r *rig) { r.send(9); r.silence(93 * ms); leap(r, 3, 500); r.send(60) }, 1, true},
		{"over a tap that went", func(r *rig) { r.send(9); r.down(); leap(r, 3, 500); r.send(60) }, 0, false},
		{"among frames that were read late", func(r *rig) { r.send(9); r.late(100); leap(r, 3, 500); r.send(30) }, 1, true},
		{"among frames that were read late, twice in a row", func(r *rig) {
			r.send(9)
			r.late(100)
			r.send(4)
			r.late(9)
			leap(r, 3, 500)
			r.send(30)
		}, 1, true},
		{"just before frames that were read late", func(r *rig) { r.send(9); leap(r, 3, 500); r.send(2); r.late(100); r.send(30) }, 1, true},
		{"of two channels among frames that were read late", func(r *rig) { r.send(9); r.late(100); leap(r, 2, 500); r.send(60) }, 0, false},
		{"among frames that were read late, and hands go on", func(r *rig) {
			r.send(9)
			r.late(100)
			leap(r, 3, 500)
			r.send(9)
			leap(r, 1, 504)
			r.send(60)
		}, 0, false},
		{"among late frames before which too few came", func(r *rig) { r.send(6); r.late(100); leap(r, 3, 500); r.send(60) }, 0, false},
		{"among late frames, and a tap that went", func(r *rig) { r.send(9); r.late(100); r.down(); leap(r, 3, 500); r.send(60) }, 0, false},
		{"among late frames, and a bus that went silent", func(r *rig) {
			r.send(9)
			r.late(100)
			r.see(&event.Observation{At: r.at, Kind: event.InputBeat})
			leap(r, 3, 500)
			r.send(60)
		}, 0, false},
		{"among late frames behind a failsafe", func(r *rig) { r.send(9); r.flagged(60, failed); r.late(100); leap(r, 3, 500); r.send(60) }, 0, false},
		{"that stands over a tap that went", func(r *rig) { r.send(9); leap(r, 3, 500); r.send(15); r.down(); r.send(15) }, 0, true},
		{"that stands over a silence", func(r *rig) { r.send(9); leap(r, 3, 500); r.send(15); r.silence(unit.Second); r.send(30) }, 1, true},
		{"that does not stand over a silence", func(r *rig) {
			r.send(9)
			leap(r, 3, 500)
			r.send(15)
			r.silence(unit.Second)
			leap(r, 1, 504)
			r.send(60)
		}, 0, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			suspect := false
			events := jumped(t, func(r *rig) { c.play(r); suspect = r.view.Taps[1].Suspect })
			assert.Len(t, events, c.jumps)
			assert.Equal(t, c.suspect, suspect, "suspect")
		})
	}
}

// Nobody saw how values leapt that stand elsewhere behind a hole.
func TestJumpOverAHole(t *testing.T) {
	for _, c := range []struct {
		unseen bool
		play   func(*rig)
	}{
		{false, func(r *rig) { r.send(12); r.silence(unit.Second); r.send(12); leap(r, 3, 500); r.send(30) }},
		{true, func(r *rig) { r.send(12); r.silence(unit.Second); leap(r, 3, 500); r.send(30) }},
		{true, func(r *rig) { r.send(12); r.late(100); leap(r, 3, 500); r.send(30) }},
	} {
		events := jumped(t, c.play)
		require.Len(t, events, 1)
		d, is := events[0].Data.(event.JumpData)
		require.True(t, is)
		assert.Equal(t, c.unseen, d.Unseen)
		assert.Equal(t, []int{1, 2, 3}, d.Channels)
		assert.Equal(t, []uint32{middle, middle, middle}, d.From)
	}
}

func TestWhatLiftsASuspicion(t *testing.T) {
	for _, c := range []struct {
		name   string
		play   func(*rig)
		lifted bool
	}{
		{"nothing moves", func(r *rig) { r.send(500) }, false},
		{"one channel, by four counts, and stays", func(r *rig) { r.put(7, middle+4); r.send(5) }, true},
		{"for four frames only, so far", func(r *rig) { r.put(7, middle+4); r.send(4) }, false},
		{"by three", func(r *rig) { r.put(7, middle+3); r.send(20) }, false},
		{"three frames, and back", func(r *rig) { r.play(7, high, high, high, middle); r.send(20) }, false},
		{"two channels", func(r *rig) { r.put(7, high); r.put(8, high); r.send(5) }, true},
		{"three channels, however little", func(r *rig) { r.put(7, middle+20); r.put(8, middle+20); r.put(9, middle+20); r.send(20) }, false},
		{"one, and a frame later many", func(r *rig) {
			r.play(7, high)
			r.put(8, middle+20)
			r.put(9, middle+20)
			r.put(11, middle+20)
			r.send(20)
		}, false},
		{"what the receiver moves by itself", func(r *rig) { r.put(7, high); r.flagged(20, bus.Failsafe) }, false},
		{"what it moves unheard", func(r *rig) { r.put(7, high); r.flagged(20, bus.Lost) }, false},
		{"a silence in between", func(r *rig) { r.play(7, high); r.silence(unit.Second); r.send(20) }, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			suspect := false
			one(t, jumped(t, func(r *rig) {
				r.send(9)
				leap(r, 3, 500)
				r.send(40)
				c.play(r)
				suspect = r.view.Taps[1].Suspect
			}))
			assert.Equal(t, c.lifted, !suspect)
		})
	}
}

func TestJumpSaysWhatLeapt(t *testing.T) {
	var at unit.Time
	e := one(t, jumped(t, func(r *rig) {
		r.put(2, low)
		r.send(20)
		leap(r, 3, 32)
		at = r.send(40)
	}))
	assert.Equal(t, event.Event{At: at.Add(23 * period), From: at, Kind: event.ValuesJumped, About: "tap:main", Data: event.JumpData{
		Tap: "main", Channels: []int{1, 2, 3}, From: []uint32{middle, low, middle}, To: []uint32{1024, 1024, 1024}, Signal: event.SignalLive,
	}}, e)
}

// A heartbeat's sawtooth leaps when it begins anew: that and two switches are no
// three channels.
func TestTheHeartbeatIsNoLeap(t *testing.T) {
	play := func(r *rig) {
		r.send(9)
		leap(r, 2, 500)
		r.put(16, low)
		r.send(60)
		assert.False(t, r.view.Taps[1].Suspect)
	}
	list := reported(t, plain+"heartbeat: {channel: 16}\n", func() base.Watcher { return &link.Jump{Tap: 1} }, func(r *rig) {
		r.before = []base.Watcher{&link.Failsafe{Tap: 1}, &link.Link{Tap: 1}, base.NewCleaned(&r.view, 1)}
		play(r)
	})
	assert.Empty(t, list)
}

// A bench at rest moves nothing by itself for days but its heartbeat, which presets hold.
func TestAHeartbeatLiftsASuspicion(t *testing.T) {
	for _, c := range []struct {
		name   string
		beats  int // every 10 frames, 70 ms
		stands int // frames after half of them
		lifted bool
	}{
		{"five seconds long", 74, 0, true}, {"for less", 40, 0, false},
		{"with a pause", 74, 690, true}, {"with a longer one", 74, 720, false},
	} {
		reported(t, plain+"heartbeat: {channel: 16}\n", func() base.Watcher { return &link.Jump{Tap: 1} }, func(r *rig) {
			r.before = []base.Watcher{&link.Failsafe{Tap: 1}, &link.Link{Tap: 1}, base.NewCleaned(&r.view, 1)}
			r.send(9)
			leap(r, 3, 500)
			r.send(40)
			for n := range c.beats {
				r.put(16, uint32(middle+20+n%2))
				r.send(10)
				if n == c.beats/2 {
					r.send(c.stands)
				}
			}
			assert.Equal(t, c.lifted, !r.view.Taps[1].Suspect, c.name)
		})
	}
}
