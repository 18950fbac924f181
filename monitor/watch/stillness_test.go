package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/watch"
)

const beating = plain + "heartbeat: {channel: 16}\n"

func newStillness() watch.Watcher { return &watch.Stillness{Tap: 1} }

// beats sends frames in which channel 16 steps up every so many frames.
func beats(r *rig, frames, every int) {
	for n := range frames {
		if n%every == 0 {
			r.put(16, (r.frame.Counts[15]+3)%2000)
		}
		r.send(1)
	}
}

var (
	seen    = []string{fact.ValuesMoving}
	stopped = []string{fact.ValuesMoving, fact.ValuesStill}
	resumed = []string{fact.ValuesMoving, fact.ValuesStill, fact.ValuesMoving}
)

func TestHeartbeat(t *testing.T) {
	for _, c := range []struct {
		name string
		play func(*rig)
		want []string
	}{
		{"it beats", func(r *rig) { beats(r, 600, 1) }, seen},
		{"it beats slowly, from the start", func(r *rig) { beats(r, 3000, 200) }, seen},
		{"five movements make one", func(r *rig) { beats(r, 60, 10); r.send(300) }, stopped},
		{"four make none", func(r *rig) { beats(r, 50, 10); r.send(300) }, []string{}},
		{"it stops", func(r *rig) { beats(r, 100, 1); r.send(143) }, stopped},
		{"it stops for less than a second", func(r *rig) { beats(r, 100, 1); r.send(142); beats(r, 100, 1) }, seen},
		{"it goes on", func(r *rig) { beats(r, 100, 1); r.send(300); beats(r, 100, 1) }, resumed},
		{"it goes on slowly", func(r *rig) { beats(r, 600, 50); r.send(300); beats(r, 600, 50) }, resumed},
		{"a slow one stops: three pauses are not over", func(r *rig) { beats(r, 1000, 100); r.send(190) }, seen},
		{"a slow one stops: three pauses are over", func(r *rig) { beats(r, 1000, 100); r.send(210) }, stopped},
		{"there never was one", func(r *rig) { r.send(1000) }, []string{}},
		{"single wrong frames make none", func(r *rig) {
			for range 10 {
				r.play(16, 1500, middle)
				r.send(100)
			}
			r.send(1000)
		}, []string{}},
		{"a wrong frame neither hides its stop nor ends it", func(r *rig) {
			beats(r, 100, 1)
			at := r.frame.Counts[15]
			for range 10 {
				r.play(16, 7, at)
				r.send(30)
			}
		}, stopped},
		{"a receiver that goes to a preset moves once", func(r *rig) { beats(r, 100, 1); r.send(200); r.put(16, 40); r.send(400) }, stopped},
		{"and the heartbeat's return is still seen", func(r *rig) {
			beats(r, 100, 1)
			r.send(200)
			r.put(16, 40)
			r.send(400)
			beats(r, 100, 1)
		}, resumed},
		{"nor is that one which goes to another later", func(r *rig) {
			beats(r, 100, 1)
			r.send(200)
			r.put(16, 40)
			r.send(400)
			r.put(16, 90)
			r.send(400)
		}, stopped},
		{"sticks that freeze meanwhile are no news", func(r *rig) { beats(r, 100, 1); r.send(200); midway(r, 1, 2); r.send(100) }, stopped},
		{"other channels don't help", func(r *rig) {
			beats(r, 100, 1)
			for range 30 {
				r.play(1, 1000, 1010, 1020, 1030, 1040, 1050)
			}
		}, stopped},
		{"what is flagged is known", func(r *rig) { beats(r, 100, 1); r.flagged(300, servobus.FlagFrameLost); beats(r, 100, 1) }, seen},
		{"a flag now and then hides nothing", func(r *rig) {
			beats(r, 100, 1)
			for range 20 {
				r.send(20)
				r.flagged(1, servobus.FlagFrameLost)
			}
		}, stopped},
		{"a silence is no standing", func(r *rig) { beats(r, 100, 1); r.send(70); r.silence(5 * fact.Second); r.send(70); beats(r, 100, 1) }, seen},
		{"nor are damaged frames", func(r *rig) {
			beats(r, 100, 1)
			for range 300 {
				r.bad()
			}
			beats(r, 100, 1)
		}, seen},
		{"a tap that went and came is not told again that it beats", func(r *rig) { beats(r, 100, 1); r.down(); beats(r, 100, 1) }, seen},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, kinds(told(t, beating, newStillness, c.play)))
		})
	}
}

func TestHeartbeatTimes(t *testing.T) {
	var last, again fact.Time
	events := told(t, beating, newStillness, func(r *rig) {
		beats(r, 100, 1)
		last = r.at
		r.send(200)
		again = r.at + period
		beats(r, 100, 1)
	})
	require.Len(t, events, 3)
	about := "tap:main"
	assert.Equal(t, fact.StillData{Tap: "main", Because: "heartbeat"}, events[0].Data)
	assert.Equal(t, fact.Event{At: last + 1001*ms, From: last, Kind: fact.ValuesStill, About: about,
		Data: fact.StillData{Tap: "main", ForNS: 1001 * ms, Because: "heartbeat"}}, events[1])
	assert.Equal(t, fact.Event{At: again + 3*period, From: again, Kind: fact.ValuesMoving, About: about,
		Data: fact.StillData{Tap: "main", ForNS: again - last, Because: "heartbeat"}}, events[2])
}

// stroke moves channels from where they are to a count, slow at both ends, with a
// packet every so many frames.
func stroke(r *rig, to int, steps, every int, channels ...int) {
	from := map[int]int{}
	for _, ch := range channels {
		from[ch] = int(r.frame.Counts[ch-1])
	}
	for n := 1; n <= steps; n++ {
		for _, ch := range channels {
			r.put(ch, uint16(from[ch]+(to-from[ch])*(3*n*n*steps-2*n*n*n)/(steps*steps*steps)))
		}
		r.send(every)
	}
}

// stirs moves two sticks between their ends, at paces of their own.
func stirs(r *rig) {
	r.send(20)
	for range 3 {
		for _, to := range []int{low, high} {
			stroke(r, to, 30, 1, 1, 2)
		}
	}
	for _, to := range []int{600, 1400} { // one is ahead of the other
		stroke(r, to, 20, 1, 1)
		stroke(r, to, 20, 1, 2)
	}
}

// midway freezes two channels in the middle of a stroke.
func midway(r *rig, channels ...int) {
	stirs(r)
	for n := range 10 {
		for _, ch := range channels {
			r.put(ch, uint16(1400-30*n))
		}
		r.send(1)
	}
}

// glide moves two sticks down from 1400, so many counts a frame each.
func glide(r *rig, frames, one, other int) {
	for n := range frames {
		r.put(1, uint16(1400-one*n))
		r.put(2, uint16(1400-other*n))
		r.send(1)
	}
}

// slams brings two sticks to stops short of what the sheet has, and back gently.
func slams(r *rig) {
	r.send(20)
	for range 3 {
		for n := range 20 {
			r.put(1, uint16(middle+30*n))
			r.put(2, uint16(middle+30*n))
			r.send(1)
		}
		r.send(60)
		stroke(r, middle, 30, 1, 1, 2)
		r.send(60)
	}
}

func TestStirred(t *testing.T) {
	for _, c := range []struct {
		name string
		play func(*rig)
		want []string
	}{
		{"two sticks freeze", func(r *rig) { midway(r, 1, 2); r.send(43) }, []string{fact.ValuesStill}},
		{"not yet", func(r *rig) { midway(r, 1, 2); r.send(42); stroke(r, low, 30, 1, 1) }, []string{}},
		{"with the radio's packets slower than frames", func(r *rig) {
			stirs(r)
			for n := range 10 {
				r.put(1, uint16(1400-60*n))
				r.put(2, uint16(1300-60*n))
				r.send(3)
			}
			r.send(60)
		}, []string{fact.ValuesStill}},
		{"at ten counts a frame", func(r *rig) { stirs(r); glide(r, 30, 10, 10); r.send(60) }, []string{fact.ValuesStill}},
		{"the other at four", func(r *rig) { stirs(r); glide(r, 30, 20, 4); r.send(60) }, []string{fact.ValuesStill}},
		{"the other at one", func(r *rig) { stirs(r); glide(r, 60, 15, 1); r.send(60) }, []string{}},
		{"at the farthest that they ever went", func(r *rig) {
			r.send(20)
			for range 3 {
				stroke(r, 500, 30, 1, 1, 2)
				stroke(r, 1400, 30, 1, 1, 2)
			}
			glide(r, 31, 30, 30)
			r.send(60)
		}, []string{}},
		{"both leap once", func(r *rig) { stirs(r); r.send(30); r.put(1, 1100); r.put(2, 1100); r.send(60) }, []string{}},
		{"one stick stops dead", func(r *rig) { midway(r, 1); r.send(100) }, []string{}},
		{"a stick and a knob stop dead", func(r *rig) { midway(r, 1, 6); r.send(100) }, []string{}},
		{"a stick and a channel that the sheet doesn't know", func(r *rig) { midway(r, 1, 7); r.send(100) }, []string{}},
		{"one stops a frame after the other", func(r *rig) { midway(r, 1, 2); r.play(2, 1100); r.send(100) }, []string{}},
		{"both slow down and stop in one frame", func(r *rig) { stirs(r); stroke(r, 900, 40, 1, 1, 2); r.send(100) }, []string{}},
		{"the same in packets", func(r *rig) { stirs(r); stroke(r, 700, 14, 3, 1, 2); r.send(100) }, []string{}},
		{"they creep and stop dead", func(r *rig) {
			stirs(r)
			for n := range 40 {
				r.put(1, uint16(1400-3*n))
				r.put(2, uint16(1400-3*n))
				r.send(1)
			}
			r.send(100)
		}, []string{}},
		{"both meet their stops in one frame", func(r *rig) { midway(r, 1, 2); r.put(1, low); r.put(2, low); r.send(100) }, []string{}},
		{"or once went beyond", func(r *rig) {
			stirs(r)
			stroke(r, 40, 60, 1, 1, 2)
			midway(r, 1, 2)
			r.put(1, low)
			r.put(2, low)
			r.send(100)
		}, []string{}},
		{"both meet stops that the sheet doesn't know", slams, []string{}},
		{"where the receiver went by itself no stick has been", func(r *rig) {
			for _, count := range []uint16{low, high, middle} {
				r.put(1, count)
				r.put(2, count)
				r.flagged(5, servobus.FlagFailsafe)
			}
			slams(r)
		}, []string{}},
		{"both spring back to neutral", func(r *rig) {
			stirs(r)
			for n := range 10 {
				r.put(1, uint16(1400-40*n))
				r.put(2, uint16(1400-40*n))
				r.send(1)
			}
			r.put(1, middle)
			r.put(2, middle)
			r.send(100)
		}, []string{}},
		{"switches that flip are no sticks", func(r *rig) {
			r.send(20)
			for range 5 {
				r.put(10, high)
				r.put(12, high)
				r.send(3)
				r.put(10, low)
				r.put(12, low)
				r.send(3)
			}
			r.send(100)
		}, []string{}},
		{"what is flagged is known", func(r *rig) { midway(r, 1, 2); r.flagged(100, servobus.FlagFrameLost) }, []string{}},
		{"flagged in the midst of it", func(r *rig) { midway(r, 1, 2); r.send(20); r.flagged(1, servobus.FlagFrameLost); r.send(100) }, []string{}},
		{"a silence is no freeze", func(r *rig) { midway(r, 1, 2); r.silence(fact.Second); r.send(100) }, []string{}},
		{"a tap that went", func(r *rig) { midway(r, 1, 2); r.send(20); r.down(); r.send(100) }, []string{}},
		{"damaged frames don't freeze", func(r *rig) {
			midway(r, 1, 2)
			for range 100 {
				r.bad()
			}
		}, []string{}},
		{"they move again", func(r *rig) { midway(r, 1, 2); r.send(100); r.play(1, 1000, 1010) }, []string{fact.ValuesStill, fact.ValuesMoving}},
		{"a wrong frame is no movement", func(r *rig) { midway(r, 1, 2); r.send(100); r.play(3, 7, middle); r.send(100) }, []string{fact.ValuesStill}},
		{"a preset of one channel moves once", func(r *rig) { midway(r, 1, 2); r.send(100); r.play(3, 172); r.send(100) }, []string{fact.ValuesStill}},
		{"a preset of many moves none", func(r *rig) {
			midway(r, 1, 2)
			r.send(100)
			for _, ch := range []int{1, 2, 3} {
				r.put(ch, 172)
			}
			r.send(1)
			r.put(10, high)
			r.send(100)
		}, []string{fact.ValuesStill}},
		{"a channel at a time is hands", func(r *rig) {
			midway(r, 1, 2)
			r.send(100)
			r.play(3, 172)
			r.send(100)
			stroke(r, 700, 20, 1, 4)
		}, []string{fact.ValuesStill, fact.ValuesMoving}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, kinds(told(t, plain, newStillness, c.play)))
		})
	}
}

func TestStirredTimes(t *testing.T) {
	var last, again fact.Time
	events := told(t, plain, newStillness, func(r *rig) {
		midway(r, 1, 2)
		last = r.at
		r.send(100)
		r.play(3, 172) // a preset, long before hands
		r.send(100)
		again = r.play(1, 1000, 1010)
	})
	require.Len(t, events, 2)
	assert.Equal(t, fact.Event{At: last + 301*ms, From: last, Kind: fact.ValuesStill, About: "tap:main",
		Data: fact.StillData{Tap: "main", ForNS: 301 * ms, Because: "stirred"}}, events[0])
	assert.Equal(t, fact.Event{At: again + period, From: again, Kind: fact.ValuesMoving, About: "tap:main",
		Data: fact.StillData{Tap: "main", ForNS: again - last, Because: "stirred"}}, events[1])
}

// What a heartbeat tells in a second, sticks tell sooner; it is told once.
func TestStirredWithAHeartbeat(t *testing.T) {
	events := told(t, beating, newStillness, func(r *rig) {
		r.each = func() { r.put(16, (r.frame.Counts[15]+3)%2000) }
		midway(r, 1, 2)
		r.each = nil
		r.send(300)
		beats(r, 100, 1)
	})
	assert.Equal(t, resumed, kinds(events))
	assert.Equal(t, "stirred", events[1].Data.(fact.StillData).Because)
}
