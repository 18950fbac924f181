package watch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch"
	"benchproof.example/monitor/watch/base"
	"benchproof.example/monitor/watch/controls"
)

func newSweep() base.Watcher { return &controls.Sweep{Tap: 1} }

// turns brings the gain channel from count to count, ten frames to each, and lets
// it rest for half a second.
func turns(counts ...uint32) func(*rig) {
	return func(r *rig) {
		r.send(80)
		turn(r, counts...)
		r.send(80)
	}
}

func turn(r *rig, counts ...uint32) {
	for _, to := range counts {
		from := int(r.frame.Counts[8])
		for n := 1; n <= 10; n++ {
			r.play(9, uint32(from+(int(to)-from)*n/10))
		}
	}
}

// trembling turns the knob up and has it flicker there.
func trembling(counts ...uint32) func(*rig) {
	return func(r *rig) {
		r.send(80)
		turn(r, high)
		trembles(r, counts...)
	}
}

func trembles(r *rig, counts ...uint32) {
	for n := 0; n < 80; n += len(counts) {
		r.play(9, counts...)
	}
}

// wrongOnTheWay has a number of wrong frames in the middle of a turn.
func wrongOnTheWay(frames int) func(*rig) {
	return func(r *rig) {
		r.send(80)
		turn(r, 1200)
		for n := range frames {
			r.play(9, uint32(2047*(n%2)))
		}
		turn(r, high)
		r.send(80)
	}
}

func TestSweep(t *testing.T) {
	for _, c := range []struct {
		name   string
		play   func(*rig)
		sweeps int
	}{
		{"to an end", turns(high), 1},
		{"there and back", turns(high, middle), 1},
		{"eight counts", turns(middle + 8), 1},
		{"seven counts", turns(middle + 7), 0},
		{"seven and seven more", func(r *rig) { turns(middle + 7)(r); turns(middle + 14)(r) }, 1},
		{"it stood within seven, and then goes on in one turn", func(r *rig) {
			turns(middle + 7)(r)
			r.play(9, middle+8, middle+8, middle+8, middle+8, middle+8)
			turn(r, high)
			r.send(80)
		}, 1},
		{"it rests twice", func(r *rig) { turns(high)(r); turns(low)(r) }, 2},
		{"it rests only for a moment", func(r *rig) { r.send(80); turn(r, high); r.send(40); turn(r, low); r.send(80) }, 1},
		{"it never rests", func(r *rig) {
			r.send(80)
			for range 20 {
				turn(r, high, low)
			}
		}, 0},
		{"it trembles by more than a count either way", func(r *rig) {
			r.send(80)
			turn(r, high)
			for range 40 {
				r.play(9, high-3, high)
			}
		}, 0},
		{"four frames are no rest, however long", func(r *rig) { r.send(80); r.put(9, high); r.period = 100 * ms; r.send(4 + 3) }, 0},
		{"five are, three more behind them", func(r *rig) { r.send(80); r.put(9, high); r.period = 100 * ms; r.send(5 + 3) }, 1},
		{"in frames that were marked bad", func(r *rig) {
			r.send(80)
			r.put(9, high)
			for range 80 {
				r.bad()
			}
			r.put(9, middle)
			r.send(80)
		}, 0},
		{"it trembles by a count", func(r *rig) {
			r.send(80)
			turn(r, high)
			for range 40 {
				r.play(9, high-1, high)
			}
		}, 1},
		{"it trembles by a count either way", trembling(high-1, high, high+1), 1},
		{"by a count either way, for four frames each", trembling(high-1, high-1, high-1, high-1, high, high+1, high+1, high+1, high+1), 1},
		{"by two counts either way", trembling(high-2, high-2, high-2, high-2, high+2, high+2, high+2, high+2), 0},
		{"from end to end in four turns, trembling", func(r *rig) {
			trembling(high-1, high-1, high-1, high-1, high+1, high+1, high+1, high+1)(r)
			for _, to := range []uint32{low, high, middle} {
				turn(r, to)
				trembles(r, to-1, to-1, to-1, to-1, to+1, to+1, to+1, to+1)
			}
		}, 4},
		{"a hand that creeps by a count in 50 ms", func(r *rig) {
			r.send(80)
			for c := uint32(middle); c < middle+200; c++ {
				r.play(9, c, c, c, c, c, c, c)
			}
		}, 0},
		{"or down", func(r *rig) {
			r.send(80)
			for c := uint32(middle); c > middle-200; c-- {
				r.play(9, c, c, c, c, c, c, c)
			}
		}, 0},
		{"two wrong frames on the way", wrongOnTheWay(2), 1},
		{"three", wrongOnTheWay(3), 1},
		{"one wrong frame", func(r *rig) { r.send(80); r.play(9, high, middle); r.send(80) }, 0},
		{"a spike of three", func(r *rig) { r.send(80); r.play(9, high, high, high, middle); r.send(80) }, 0},
		{"a wrong frame first", func(r *rig) { r.play(9, high, middle); r.send(160) }, 0},
		{"it comes up in the middle of a turn", func(r *rig) { turn(r, high); r.send(80) }, 0},
		{"the receiver's doing", func(r *rig) {
			r.send(80)
			r.put(9, low)
			r.flagged(80, bus.Failsafe)
			r.put(9, middle)
			r.send(80)
		}, 0},
		{"frames that were missed are no rest", func(r *rig) {
			r.send(80)
			turn(r, high)
			r.flagged(80, bus.Lost)
		}, 0},
		{"nor is a hole", func(r *rig) { r.send(80); turn(r, high); r.send(6); r.silence(200 * ms); r.send(20) }, 0},
		{"nor is a silence", func(r *rig) { r.send(80); turn(r, high); r.send(6); r.silence(unit.Second); r.send(20) }, 0},
		{"a tap that went", func(r *rig) { r.send(80); turn(r, high); r.down(); r.send(80) }, 0},
		{"another channel", func(r *rig) { r.send(80); r.play(6, low); r.send(80) }, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Len(t, reported(t, plain, newSweep, c.play), c.sweeps)
		})
	}
}

func TestSweepSaysWhere(t *testing.T) {
	var began, rests unit.Time
	e := one(t, reported(t, plain, newSweep, func(r *rig) {
		r.send(80)
		began = r.at.Add(period)
		turn(r, low)
		r.send(3)
		r.play(9, 0, 0, 0, low) // three wrong frames are no part of it
		turn(r, 1312)
		rests = r.at
		r.send(80)
	}))
	assert.Equal(t, event.Event{At: rests.Add(322 * ms), From: began, Kind: event.GainSwept, About: "channel:9", Data: event.GainSweptData{
		Tap: "main", Channel: 9, FromNS: 1_500_000, ToNS: 1_700_000, LeastNS: 987_500, MostNS: 1_700_000, Signal: event.SignalLive,
	}}, e)
}

// Wherever in a turn a few frames are wrong, and whatever they have, they are no part of
// it.
func TestSweepOfWrongFrames(t *testing.T) {
	var path []uint32
	for c := uint32(middle); c <= 1600; c += 16 {
		path = append(path, c)
	}
	for at := range path {
		for _, wrong := range [][]uint32{{0}, {2047}, {0, 0}, {2047, 2047}, {0, 2047}, {2047, 2047, 2047}} {
			e := one(t, reported(t, plain, newSweep, func(r *rig) {
				r.send(80)
				r.play(9, path[:at]...)
				r.play(9, wrong...)
				r.play(9, path[at:]...)
				r.send(80)
			}))
			d := e.Data.(event.GainSweptData)
			assert.Equal(t, [4]unit.Width{1_500_000, 1_880_000, 1_500_000, 1_880_000}, [4]unit.Width{d.FromNS, d.ToNS, d.LeastNS, d.MostNS}, "%v at %d", wrong, at)
			assert.False(t, d.Suspect)
		}
	}
}

// Where it trembles, it rests in the middle.
func TestSweepRestsInTheMiddle(t *testing.T) {
	for _, counts := range [][]uint32{{high}, {high - 1, high - 1, high - 1, high - 1, high + 1, high + 1, high + 1, high + 1}} {
		e := one(t, reported(t, plain, newSweep, trembling(counts...)))
		assert.Equal(t, unit.Width(2_011_875), e.Data.(event.GainSweptData).ToNS, counts)
	}
}

// A preset that nobody flags moves the knob as well: that is said.
func TestSweepOfALeapIsSuspect(t *testing.T) {
	e := one(t, reported(t, plain, newSweep, func(r *rig) {
		r.send(80)
		for _, ch := range []int{1, 2, 3, 9} {
			r.put(ch, low)
		}
		r.send(80)
	}))
	assert.True(t, e.Data.(event.GainSweptData).Suspect)
}

// Only a control that a hand can turn is watched.
func TestSweepIsForKnobs(t *testing.T) {
	for gain, want := range map[string]int{
		"gain: {channel: gain, law: sign-selects, zero: 1500, full: [988, 2012]}":  1,
		"gain: {channel: inner, law: sign-selects, zero: 1500, full: [988, 2012]}": 0,
		"gain: {law: in-receiver}": 0,
		"":                         0,
	} {
		s, err := sheet.Read("table", []byte(`sheet: 1
model: Table
channels:
  9: {name: gain, kind: knob, ends: {anticlockwise: 988, clockwise: 2012}}
  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}
`+gain+"\n"))
		require.NoError(t, err)
		view := base.NewView(s, []event.TapName{{Name: "main", Kind: "bus"}})
		n := 0
		for _, w := range watch.For(&view) {
			if _, ok := w.Watcher.(*controls.Sweep); ok {
				n++
			}
		}
		assert.Equal(t, want, n, gain)
	}
}
