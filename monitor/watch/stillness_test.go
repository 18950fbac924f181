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

const beating = plain + "heartbeat: {channel: 16}\n"

func newStillness() base.Watcher { return &link.Stillness{Tap: 1} }

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
	seen    = []string{event.ValuesMoving}
	stopped = []string{event.ValuesMoving, event.ValuesStill}
	resumed = []string{event.ValuesMoving, event.ValuesStill, event.ValuesMoving}
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
		{"it stops", func(r *rig) { beats(r, 100, 1); r.send(143 + 3) }, stopped},
		{"it stops for just less than a second", func(r *rig) { beats(r, 100, 1); r.send(142); beats(r, 100, 1) }, seen},
		{"it goes on", func(r *rig) { beats(r, 100, 1); r.send(300); beats(r, 100, 1) }, resumed},
		{"it goes on slowly", func(r *rig) { beats(r, 600, 50); r.send(300); beats(r, 600, 50) }, resumed},
		{"a slow one stops: three pauses are not over", func(r *rig) { beats(r, 1000, 100); r.send(190) }, seen},
		{"a slow one stops: three pauses are over", func(r *rig) { beats(r, 1000, 100); r.send(210) }, stopped},
		{"there never was one", func(r *rig) { r.send(1000) }, []string{}},
		{"three wrong frames make none", func(r *rig) {
			for range 10 {
				r.play(16, 1500, 1500, 1500, middle)
				r.send(100)
			}
			r.send(1000)
		}, []string{}},
		{"a wrong frame neither hides its stop nor ends it", func(r *rig) {
			beats(r, 100, 1)
			at := r.frame.Counts[15]
			for range 10 {
				r.play(16, 7, 7, 7, at)
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
		{"what is flagged is known", func(r *rig) { beats(r, 100, 1); r.flagged(300, bus.Lost); beats(r, 100, 1) }, seen},
		{"a flag now and then hides nothing", func(r *rig) {
			beats(r, 100, 1)
			for range 20 {
				r.send(20)
				r.flagged(1, bus.Lost)
			}
		}, stopped},
		{"a silence is no standing", func(r *rig) { beats(r, 100, 1); r.send(70); r.silence(5 * unit.Second); r.send(70); beats(r, 100, 1) }, seen},
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
			assert.Equal(t, c.want, kinds(reported(t, beating, newStillness, c.play)))
		})
	}
}

func TestHeartbeatTimes(t *testing.T) {
	var last, again unit.Time
	events := reported(t, beating, newStillness, func(r *rig) {
		beats(r, 100, 1)
		last = r.at
		r.send(200)
		again = r.at.Add(period)
		beats(r, 100, 1)
	})
	require.Len(t, events, 3)
	about := "tap:main"
	assert.Equal(t, event.ValuesStillData{Tap: "main", Because: "heartbeat"}, events[0].Data)
	assert.Equal(t, event.Event{At: last.Add(1001*ms + 3*period), From: last, Kind: event.ValuesStill, About: about,
		Data: event.ValuesStillData{Tap: "main", ForNS: 1001 * ms, Because: "heartbeat"}}, events[1])
	assert.Equal(t, event.Event{At: again.Add(4 * period), From: again, Kind: event.ValuesMoving, About: about,
		Data: event.ValuesStillData{Tap: "main", ForNS: again.Sub(last), Because: "heartbeat"}}, events[2])
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
			r.put(ch, uint32(from[ch]+(to-from[ch])*(3*n*n*steps-2*n*n*n)/(steps*steps*steps)))
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
			r.put(ch, uint32(1400-30*n))
		}
		r.send(1)
	}
}

// glide moves two sticks down from 1400, a number of counts a frame each.
func glide(r *rig, frames, one, other int) {
	for n := range frames {
		r.put(1, uint32(1400-one*n))
		r.put(2, uint32(1400-other*n))
		r.send(1)
	}
}

// slams brings two sticks to stops short of what the sheet has, and back gently.
func slams(r *rig) {
	r.send(20)
	for range 3 {
		for n := range 20 {
			r.put(1, uint32(middle+30*n))
			r.put(2, uint32(middle+30*n))
			r.send(1)
		}
		r.send(60)
		stroke(r, middle, 30, 1, 1, 2)
		r.send(60)
	}
}

// thaw lets both sticks leap from where they froze, and go on.
func thaw(r *rig) {
	r.put(1, 1400)
	r.put(2, 700)
	r.send(1)
	stroke(r, 500, 20, 1, 1, 2)
}

// freeze is a loss without a word that a hand has stirred through.
func freeze(r *rig, frames int) {
	midway(r, 1, 2)
	r.send(frames)
	thaw(r)
}

// A hand stops a stick where it wants. What no hand does is to stop two in motion in
// one frame, and to have them elsewhere from one frame to the next.
func TestFrozen(t *testing.T) {
	held, paused := []string{event.ValuesStill, event.ValuesMoving}, []string{event.ValuesPaused}
	for _, c := range []struct {
		name string
		play func(*rig)
		want []string
	}{
		{"two sticks freeze in motion and leap", func(r *rig) { freeze(r, 72) }, held},
		{"for less than half a second", func(r *rig) { freeze(r, 71) }, []string{}},
		{"they have not leapt yet", func(r *rig) { midway(r, 1, 2); r.send(200) }, []string{}},
		{"and never do: the tap goes", func(r *rig) { midway(r, 1, 2); r.send(200); r.down() }, paused},
		{"a hand goes on from where they stood", func(r *rig) { midway(r, 1, 2); r.send(200); stroke(r, 500, 20, 1, 1, 2) }, paused},
		{"leapt and not moved yet", func(r *rig) {
			midway(r, 1, 2)
			r.send(200)
			r.put(1, 1400)
			r.put(2, 700)
			r.send(100)
		}, []string{}},
		{"leapt when the tap goes", func(r *rig) {
			midway(r, 1, 2)
			r.send(200)
			r.put(1, 1400)
			r.put(2, 700)
			r.send(100)
			r.down()
		}, held},
		{"a knob moves meanwhile: one pause", func(r *rig) {
			midway(r, 1, 2)
			r.send(100)
			for n := range 100 {
				r.play(6, uint32(middle+3*n))
			}
		}, paused},
		{"over a hole of the line", func(r *rig) {
			midway(r, 1, 2)
			r.send(40)
			r.silence(400 * ms)
			r.send(60)
			thaw(r)
		}, held},
		{"elsewhere behind the hole", func(r *rig) {
			midway(r, 1, 2)
			r.send(40)
			r.put(1, 1200)
			r.silence(400 * ms)
			r.send(60)
			thaw(r)
		}, []string{}},
		{"over a hole of a second", func(r *rig) {
			midway(r, 1, 2)
			r.send(40)
			r.silence(unit.Second)
			r.send(60)
			thaw(r)
		}, []string{}},
		{"with the radio's packets slower than frames", func(r *rig) {
			stirs(r)
			for n := range 10 {
				r.put(1, uint32(1400-60*n))
				r.put(2, uint32(1300-60*n))
				r.send(3)
			}
			r.send(72)
			thaw(r)
		}, held},
		{"at 22 ms a frame", func(r *rig) { r.period = 22 * ms; freeze(r, 24) }, held},
		{"at ten counts a frame", func(r *rig) { stirs(r); glide(r, 30, 10, 10); r.send(72); thaw(r) }, held},
		{"the other at four", func(r *rig) { stirs(r); glide(r, 30, 20, 4); r.send(72); thaw(r) }, held},
		{"the other at one stood still", func(r *rig) { stirs(r); glide(r, 60, 15, 1); r.send(72); thaw(r) }, paused},
		{"one stick alone", func(r *rig) {
			midway(r, 1)
			r.send(100)
			r.put(1, 500)
			r.send(1)
			stroke(r, 1400, 20, 1, 1)
		}, paused},
		{"one stops a frame after the other", func(r *rig) { midway(r, 1, 2); r.play(2, 1100); r.send(100); thaw(r) }, paused},
		{"both leap less than 50 us", func(r *rig) {
			midway(r, 1, 2)
			r.send(100)
			r.put(1, 1130+79)
			r.put(2, 1130-79)
			r.send(100) // it goes on: the same pause
			stroke(r, 500, 30, 1, 1, 2)
		}, paused},
		{"one far and the other a little", func(r *rig) {
			midway(r, 1, 2)
			r.send(100)
			r.put(1, 1130-12)
			r.put(2, 1130+80)
			r.send(20)
			stroke(r, 500, 30, 1, 1, 2)
		}, held},
		{"one far and the other stays", func(r *rig) {
			midway(r, 1, 2)
			r.send(100)
			r.put(1, 1130-11)
			r.put(2, 1130+80)
			r.send(20)
			stroke(r, 500, 30, 1, 1, 2)
		}, paused},
		{"a change of rates moves them in proportion", func(r *rig) {
			midway(r, 1, 2)
			r.send(100)
			r.put(1, middle+2*(1130-middle))
			r.put(2, middle+2*(1130-middle))
			r.send(20)
			stroke(r, 500, 30, 1, 1, 2)
		}, paused},
		{"both slow down and stop in one frame", func(r *rig) { stirs(r); stroke(r, 900, 40, 1, 1, 2); r.send(100); thaw(r) }, paused},
		{"the same in packets", func(r *rig) { stirs(r); stroke(r, 700, 14, 3, 1, 2); r.send(100); thaw(r) }, paused},
		{"they creep and stop dead: 179 us a second", func(r *rig) { stirs(r); glide(r, 60, 2, 2); r.send(100); thaw(r) }, []string{}},
		{"at 268 us a second they are in motion", func(r *rig) { stirs(r); glide(r, 60, 3, 3); r.send(100); thaw(r) }, held},
		{"both meet their stops in one frame", func(r *rig) {
			midway(r, 1, 2)
			r.put(1, low)
			r.put(2, low)
			r.send(100)
			thaw(r)
		}, paused},
		{"both meet stops that the sheet doesn't know", slams, []string{}},
		{"a slam to a low-rate stop, and back in one frame", func(r *rig) {
			slams(r)
			for n := range 20 {
				r.put(1, uint32(middle+30*n))
				r.put(2, uint32(middle+30*n))
				r.send(1)
			}
			r.send(100)
			r.put(1, middle)
			r.put(2, middle+70)
			r.send(20)
			stroke(r, 500, 30, 1, 1, 2)
		}, paused},
		{"both spring back to neutral", func(r *rig) {
			stirs(r)
			glide(r, 10, 40, 40)
			r.put(1, middle)
			r.put(2, middle)
			r.send(100)
			stroke(r, 500, 30, 1, 1, 2)
		}, []string{}},
		{"three wrong frames are no leap", func(r *rig) {
			midway(r, 1, 2)
			r.send(100)
			was := r.frame.Counts
			for range 3 {
				r.put(1, 1400)
				r.put(2, 700)
				r.send(1)
			}
			r.frame.Counts = was
			r.send(20)
			stroke(r, 500, 30, 1, 1, 2)
		}, paused},
		{"three wrong frames do not hide a freeze", func(r *rig) {
			midway(r, 1, 2)
			r.send(40)
			was := r.frame.Counts
			r.put(3, 7)
			r.send(3)
			r.frame.Counts = was
			r.send(40)
			thaw(r)
		}, held},
		{"a preset of one channel is a pause at first", func(r *rig) {
			midway(r, 1, 2)
			r.send(100)
			r.put(3, low)
			r.send(100)
			thaw(r)
		}, append(paused, held...)},
		{"a preset of many, and back", func(r *rig) {
			midway(r, 1, 2)
			r.send(100)
			for _, ch := range []int{1, 2, 3} {
				r.put(ch, low)
			}
			r.send(100)
			r.put(3, middle)
			thaw(r)
		}, held},
		{"what is flagged is known", func(r *rig) { midway(r, 1, 2); r.flagged(100, failed); thaw(r) }, []string{}},
		{"a flag for a moment", func(r *rig) { midway(r, 1, 2); r.send(30); r.flagged(2, lost); r.send(60); thaw(r) }, held},
		{"a silence is no freeze", func(r *rig) { midway(r, 1, 2); r.silence(unit.Second); r.send(100); thaw(r) }, paused},
		{"damaged frames don't freeze", func(r *rig) {
			midway(r, 1, 2)
			for range 100 {
				r.bad()
			}
			thaw(r)
		}, []string{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, kinds(reported(t, plain, newStillness, c.play)))
		})
	}
}

func TestFrozenTimes(t *testing.T) {
	var last, again unit.Time
	events := reported(t, plain, newStillness, func(r *rig) {
		midway(r, 1, 2)
		last = r.at
		r.send(100)
		again = r.at.Add(period)
		thaw(r)
	})
	require.Len(t, events, 2)
	d := event.ValuesStillData{Tap: "main", ForNS: again.Sub(last), Because: "stirred"}
	at := events[0].At
	assert.Equal(t, event.Event{At: at, From: last, Kind: event.ValuesStill, About: "tap:main", Data: d}, events[0])
	assert.Equal(t, event.Event{At: at, From: again, Kind: event.ValuesMoving, About: "tap:main", Data: d}, events[1])
}

// What a heartbeat shows, sticks need not show.
func TestFrozenWithAHeartbeat(t *testing.T) {
	events := reported(t, beating, newStillness, func(r *rig) {
		r.each = func() { r.put(16, (r.frame.Counts[15]+3)%2000) }
		midway(r, 1, 2)
		r.each = nil
		r.send(300)
		r.put(1, 1400)
		r.put(2, 700)
		beats(r, 100, 1)
	})
	assert.Equal(t, resumed, kinds(events))
	assert.Equal(t, "heartbeat", events[1].Data.(event.ValuesStillData).Because)
}

// A stop of the heartbeat is not reported before a flag that the sheet waits for would
// have come.
func TestTheHeartbeatWaitsForTheFlag(t *testing.T) {
	const late = beating + "failsafe: {flag: required, within: 3s, heard: {default: hold}}\n"
	play := func(frames int) func(*rig) { return func(r *rig) { beats(r, 100, 1); r.send(frames + 3) } }
	assert.Equal(t, seen, kinds(reported(t, late, newStillness, play(428))), "2996 ms")
	assert.Equal(t, stopped, kinds(reported(t, late, newStillness, play(429))), "3003 ms")
}

// What moves as watching ends, or as the heartbeat begins again, may be the first of the live
// frames: what the receiver did is what stood before.
func TestFrozenAsItEnds(t *testing.T) {
	const sheet = beating + "failsafe: {flag: required, within: 1s, heard: {default: hold}}\n"
	loses := func(end func(r *rig)) (list []event.LossData) {
		both := func() base.Watcher { return &stillAndLoss{link.Stillness{Tap: 1}, link.Loss{Tap: 1}} }
		for _, e := range reported(t, sheet, both, func(r *rig) {
			beats(r, 100, 1)
			r.send(300)
			r.put(3, low)
			r.send(300)
			end(r)
		}) {
			if d, ok := e.Data.(event.LossData); ok {
				list = append(list, d)
			}
		}
		return list
	}
	for stood, now := range map[int]unit.Width{1: 987_500, 100: 987_500, 200: 1_500_000} {
		list := loses(func(r *rig) {
			r.put(3, middle)
			r.send(stood)
			r.see(&event.Observation{At: r.at, Kind: event.InputEnd})
		})
		require.Len(t, list, 1)
		assert.Equal(t, now, list[0].Channels[2].NowNS, "%d frames", stood)
	}
	list := loses(func(r *rig) {
		r.put(3, middle)
		r.send(1)
		beats(r, 20, 1)
	})
	require.Len(t, list, 1)
	assert.Equal(t, unit.Width(987_500), list[0].Channels[2].NowNS, "back a frame before the heartbeat")
	assert.Equal(t, 601*period, list[0].BackNS)
	list = loses(func(r *rig) { // its end lay in what was read late, of which the first frames are of before
		r.silence(5 * unit.Second)
		r.send(1)
		r.late(20)
		beats(r, 20, 1)
	})
	require.Len(t, list, 1)
	assert.Equal(t, 600*period, list[0].WatchedNS, "to the last frame before")
	assert.GreaterOrEqual(t, list[0].BackNS, 600*period+5*unit.Second)
}

// stillAndLoss are two watchers, of which the later reads what the earlier has found.
type stillAndLoss struct {
	Still link.Stillness
	Loss  link.Loss
}

func (w *stillAndLoss) See(o *event.Observation, v *base.View, emit event.Emit) {
	w.Still.See(o, v, emit)
	w.Loss.See(o, v, emit)
}
