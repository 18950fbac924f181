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

const (
	pressed3  = plain + "gestures: {learning: {channel: teach, from: rest, to: pressed, times: 3, within: 3s, allowed: never}}\n"
	anywhere2 = plain + "gestures: {learning: {channel: inner, from: middle, times: 2, within: 3s, allowed: never}}\n"
	across2   = plain + "gestures: {learning: {channel: inner, from: back, to: front, times: 2, within: 3s, allowed: never}}\n"
	held2     = plain + "gestures: {learning: {channel: teach, from: rest, to: pressed, times: 2, within: 9s, holds: 420ms, allowed: never}}\n"
	atCut2    = plain + "gestures: {learning: {channel: teach, from: rest, to: pressed, times: 2, within: 9s, while: {throttle: cut}, allowed: never}}\n"
	digital2  = plain + "gestures: {learning: {channel: lights, from: rest, to: pressed, times: 2, within: 3s, allowed: never}}\n"
)

// presses moves channel 15 to and fro, a number of frames away and at rest.
func presses(times, away, rest int) func(*rig) {
	return func(r *rig) {
		r.put(15, low)
		r.send(20)
		for range times {
			r.put(15, high)
			r.send(away)
			r.put(15, low)
			r.send(rest)
		}
	}
}

// walk visits counts of channel 11, twenty frames each.
func walk(counts ...uint32) func(*rig) {
	return func(r *rig) {
		for _, c := range counts {
			r.put(11, c)
			r.send(20)
		}
	}
}

// raised presses twice with the throttle at cut, but for so many frames.
func raised(frames int) func(*rig) {
	return func(r *rig) {
		r.put(3, low)
		presses(1, 20, 20)(r)
		r.put(15, high)
		r.send(20)
		r.put(3, high)
		r.send(frames)
		r.put(3, low)
		r.send(20)
		r.put(15, low)
		r.send(20)
	}
}

func digital(r *rig) {
	r.send(20)
	for range 2 {
		r.flagged(20, bus.Digital(0))
		r.send(20)
	}
}

func TestGesture(t *testing.T) {
	for _, c := range []struct {
		name, sheet string
		play        func(*rig)
		made        int
	}{
		{"three presses", pressed3, presses(3, 30, 30), 1},
		{"three quick ones behind a slow one", pressed3, func(r *rig) { presses(1, 30, 600)(r); presses(3, 30, 30)(r) }, 1},
		{"two presses", pressed3, presses(2, 30, 30), 0},
		{"four frames are a visit", pressed3, presses(3, 4, 4), 1},
		{"three frames are none", pressed3, presses(9, 3, 5), 0},
		{"three frames back are none", pressed3, presses(9, 5, 3), 0},
		{"too slow", pressed3, presses(6, 100, 100), 0},
		{"just in time: 2996 ms", pressed3, presses(3, 108, 52), 1},
		{"just too late: 3003 ms", pressed3, presses(3, 109, 52), 0},
		{"the count starts anew", pressed3, presses(5, 20, 20), 1},
		{"and is made again", pressed3, presses(6, 20, 20), 2},
		{"it has to begin at rest", pressed3, func(r *rig) {
			r.put(15, high)
			r.send(20)
			presses(2, 20, 20)(r)
		}, 0},
		{"anywhere else", anywhere2, walk(middle, high, middle, low, middle), 1},
		{"on to a third place is still away", anywhere2, walk(middle, high, low, high, middle), 0},
		{"over the middle", across2, walk(low, middle, high, middle, low, middle, high, middle, low), 1},
		{"not as far as the place", across2, walk(low, middle, low, middle, low, middle, low), 0},
		{"four frames about the border of two places are none", anywhere2, func(r *rig) {
			r.send(20) // 1500 µs; the border to 2012 µs lies at 1756 µs
			for range 9 {
				r.play(11, 1420, 1420, 1420, 1420, 1380, 1380, 1380, 1380) // 1767 and 1742 µs
			}
		}, 0},
		{"a digital channel", digital2, digital, 1},
		{"a failsafe moves no switch", pressed3, func(r *rig) {
			r.put(15, low)
			r.send(20)
			for range 3 {
				r.put(15, high)
				r.flagged(20, bus.Failsafe)
				r.put(15, low)
				r.flagged(20, bus.Failsafe)
			}
		}, 0},
		{"held for as long as it takes: 420 ms", held2, presses(2, 60, 20), 1},
		{"held for 413 ms", held2, presses(4, 59, 20), 0},
		{"one that was too short is none of them", held2, func(r *rig) { presses(1, 60, 20)(r); presses(1, 20, 20)(r); presses(1, 60, 20)(r) }, 1},
		{"with the throttle at cut", atCut2, func(r *rig) { r.put(3, low); presses(2, 20, 20)(r) }, 1},
		{"with the throttle up", atCut2, func(r *rig) { r.put(3, high); presses(4, 20, 20)(r) }, 0},
		{"three frames of it are nothing", atCut2, raised(3), 1},
		{"four frames of it are something", atCut2, raised(4), 0},
		{"the throttle down before it is let go", atCut2, func(r *rig) {
			presses(1, 20, 20)(r)
			r.put(3, high)
			r.put(15, high)
			r.send(20)
			r.put(3, low)
			presses(1, 20, 20)(r)
		}, 0},
		{"damaged frames move none", pressed3, func(r *rig) {
			r.put(15, low)
			r.send(20)
			for range 3 {
				r.put(15, high)
				for range 9 {
					r.bad()
				}
				r.put(15, low)
				r.send(20)
			}
		}, 0},
		{"frames beside a silence are not in a row", pressed3, func(r *rig) {
			r.put(15, low)
			r.send(20)
			for range 3 {
				r.play(15, high, high)
				r.silence(200 * ms)
				r.play(15, high, high, low, low, low, low)
			}
		}, 0},
		{"a tap that goes ends it", pressed3, func(r *rig) {
			presses(2, 20, 20)(r)
			r.down()
			presses(2, 20, 20)(r)
		}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			events := reported(t, c.sheet, func() base.Watcher { return &controls.Gesture{Tap: 1} }, c.play)
			assert.Len(t, events, c.made)
		})
	}
}

func TestGestureSaysWhatWasMade(t *testing.T) {
	var left unit.Time
	e := one(t, reported(t, pressed3, func() base.Watcher { return &controls.Gesture{Tap: 1} }, func(r *rig) {
		r.view.Drill = "learning"
		r.put(15, low)
		r.send(20)
		left = r.at.Add(period)
		for range 3 {
			r.play(15, high, high, high, high, high, low, low, low, low)
		}
	}))
	assert.Equal(t, event.Event{
		At: left.Add(26 * period), From: left, Kind: event.GestureMade, About: "switch:teach",
		Data: event.GestureData{Tap: "main", Gesture: "learning", Times: 3, SpanNS: 23 * period, Signal: event.SignalLive, InDrill: true},
	}, e)
}

// Another drill is no licence, and what the receiver misses or may have preset is
// said.
func TestGestureInDoubt(t *testing.T) {
	last := func(end func(*rig)) event.GestureData {
		e := one(t, reported(t, pressed3, func() base.Watcher { return &controls.Gesture{Tap: 1} }, func(r *rig) {
			r.view.Drill = "ends"
			presses(2, 20, 20)(r)
			r.put(15, high)
			r.send(20)
			r.put(15, low)
			end(r)
		}))
		return e.Data.(event.GestureData)
	}
	missed := last(func(r *rig) { r.flagged(5, bus.Lost) })
	assert.Equal(t, event.SignalMissed, missed.Signal)
	assert.False(t, missed.Suspect)
	assert.False(t, missed.InDrill)
	leapt := last(func(r *rig) {
		for _, ch := range []int{1, 2, 3} {
			r.put(ch, low)
		}
		r.send(5)
	})
	assert.Equal(t, event.SignalLive, leapt.Signal)
	assert.True(t, leapt.Suspect)
}
