package draft

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/protocols"
	"benchproof.example/monitor/unit"
)

// leg is a way to a width, and how long the channel stays there.
type leg struct {
	to    unit.Width // µs
	moves unit.Duration
	stays unit.Duration
}

// course makes a track of legs, a frame each 10 ms; it was asked at the beginning.
func course(from unit.Width, legs ...leg) *Track {
	const step = 10 * unit.Millisecond
	t, at, w := &Track{}, unit.Time(unit.Second), from*1000
	var all Widths
	frame := func(width unit.Width) {
		at = at.Add(step)
		all[0] = width
		t.take(at, width, &all)
	}
	for range 60 {
		frame(w)
	}
	t.begin(at)
	for _, l := range legs {
		to := l.to * 1000
		for n, left := l.moves/step, l.moves/step; left > 0; left-- {
			frame(to + (w-to)*unit.Width(left-1)/unit.Width(n))
		}
		for range l.stays / step {
			frame(to)
		}
		w = to
	}
	return t
}

const (
	quick = 300 * unit.Millisecond
	held  = 200 * unit.Millisecond
	rests = 500 * unit.Millisecond
)

func TestStrokes(t *testing.T) {
	for _, c := range []struct {
		name string
		from unit.Width
		legs []leg
		end  unit.Width // 0: there are none
		knob bool       // it would do for a knob too
	}{
		{"twice", 1500, []leg{{2000, quick, held}, {1500, quick, rests}, {2000, quick, held}, {1500, quick, rests}}, 2000, true},
		{"once", 1500, []leg{{2000, quick, held}, {1500, quick, rests}}, 0, false},
		{"the second half way", 1500, []leg{{2000, quick, held}, {1500, quick, rests}, {1800, quick, held}, {1500, quick, rests}}, 0, false},
		{"a third mends it", 1500, []leg{
			{1800, quick, held}, {1500, quick, rests}, {2000, quick, held}, {1500, quick, rests}, {2000, quick, held}, {1500, quick, rests}}, 2000, true},
		{"a pause on the way", 1500, []leg{{1700, quick, rests}, {2000, quick, held}, {1500, quick, rests}, {2000, quick, held}, {1500, quick, rests}}, 2000, true},
		{"not held", 1500, []leg{{2000, quick, 0}, {1500, quick, rests}, {2000, quick, 0}, {1500, quick, rests}}, 0, false},
		{"not home yet", 1500, []leg{{2000, quick, held}, {1500, quick, rests}, {2000, quick, held}, {1500, quick, 0}}, 0, false},
		{"it came home elsewhere", 1500, []leg{{2000, quick, held}, {1500, quick, rests}, {2000, quick, held}, {1600, quick, rests}}, 0, false},
		{"too little", 1500, []leg{{1530, quick, held}, {1500, quick, rests}, {1530, quick, held}, {1500, quick, rests}}, 0, false},
		{"from the middle of a knob", 1500, []leg{{1000, quick, rests}, {2000, quick, held}, {1000, quick, held}, {2000, quick, rests}}, 1000, false},
	} {
		x := course(c.from, c.legs...)
		s, ok := x.stroke()
		assert.Equal(t, c.end != 0, ok, "%s: %v", c.name, x.Turns)
		if ok {
			assert.InDelta(t, int64(c.end*1000), int64(s.End), 1000, c.name)
			assert.Equal(t, c.knob, s.fromRest(x), c.name)
		}
	}
}

func TestPlacesOfASwitch(t *testing.T) {
	const at = 700 * unit.Millisecond
	dial := course(1000, leg{1000, 0, at}, leg{1250, 0, at}, leg{1500, 0, at}, leg{2000, 0, at})
	assert.Equal(t, []unit.Width{1000_000, 1250_000, 1500_000, 2000_000}, widthsOf(dial.switched()))
	slip := course(1000, leg{1500, 0, at}, leg{1000, 0, at}, leg{1250, 0, at}, leg{1500, 0, at})
	assert.Equal(t, []unit.Width{1000_000, 1250_000, 1500_000}, widthsOf(slip.switched()), "in the order in which they were come to last")
	passed := course(1000, leg{1250, 0, 100 * unit.Millisecond}, leg{1500, 0, at})
	assert.Equal(t, []unit.Width{1500_000}, widthsOf(passed.switched()), "where it only passed is no place, nor where it stood for less than the question")
	paused := course(1000, leg{1250, 0, 400 * unit.Millisecond}, leg{1500, 0, at})
	assert.Equal(t, []unit.Width{1500_000}, widthsOf(paused.switched()), "nor where the lever was pushed over slowly")
	down := course(1000, leg{2000, 0, at}, leg{1500, 0, at}, leg{1000, 0, at})
	assert.Equal(t, []unit.Width{2000_000, 1500_000, 1000_000}, widthsOf(down.switched()))
	stick := course(1500, leg{1500, 0, at}, leg{2000, quick, at}, leg{1500, quick, at})
	assert.Empty(t, stick.switched())
}

func widthsOf(places []Place) (list []unit.Width) {
	for _, p := range places {
		list = append(list, p.Width)
	}
	return list
}

// A control that flickers stands, and the width of most frames counts.
func TestAStandThatFlickers(t *testing.T) {
	x := course(1500)
	var all Widths
	at := unit.Time(10 * unit.Second)
	for i := range 100 {
		at = at.Add(10 * unit.Millisecond)
		w := unit.Width(1_500_000)
		if i%7 == 3 {
			w += 625
		}
		x.take(at, w, &all)
	}
	got, stands := x.stands(restHeld)
	assert.True(t, stands)
	assert.Equal(t, unit.Width(1_500_000), got)
}

// A channel that moves all the time stands nowhere, also where no frame comes for a while: nobody knows where it was.
func TestAHoleIsNoStand(t *testing.T) {
	protocol, _ := protocols.Find("")
	for _, hole := range []unit.Duration{0, 90 * unit.Millisecond, 350 * unit.Millisecond, 2 * unit.Second} {
		h := Hearing{protocol: protocol}
		at := unit.Time(unit.Second)
		for n := range 300 {
			f := &bus.Frame{}
			f.Counts[0] = uint32(500 + 2*n)
			if at = at.Add(7 * unit.Millisecond); n == 150 {
				at = at.Add(hole)
			}
			h.Frame(at, f)
		}
		assert.Empty(t, h.tracks[0].Stands, "%v", hole)
		assert.NotEmpty(t, h.tracks[1].Stands)
	}
}
