package mix

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/unit"
)

// valley is least at a delay and rises to both sides.
func valley(at unit.Duration) func(unit.Duration) float64 {
	return func(d unit.Duration) float64 { return 10 + math.Abs(float64(d-at))/float64(unit.Millisecond) }
}

func TestTheBestDelay(t *testing.T) {
	const ms = unit.Millisecond
	for _, x := range []struct {
		name               string
		at, from, to, step unit.Duration
		want               unit.Duration
	}{
		{"in the middle", 31 * ms, 0, 150 * ms, 5 * ms, 30 * ms},
		{"the last that is tried", 150 * ms, 0, 150 * ms, 5 * ms, 150 * ms},
		{"none before the frame", 0, -7 * ms, 20 * ms, 5 * ms, 0},
		{"none later than a receiver may be", 170 * ms, 140 * ms, 170 * ms, 5 * ms, 150 * ms},
		{"the first of equals", 12500 * ms / 1000, 0, 25 * ms, 5 * ms, 10 * ms},
	} {
		assert.Equal(t, x.want, best(valley(x.at), x.from, x.to, x.step), x.name)
	}
}

// A plateau goes as far as others are as good within a twentieth, up to nine steps.
func TestPlateau(t *testing.T) {
	const ms = unit.Millisecond
	flat := func(low, high unit.Duration, beyond float64) func(unit.Duration) float64 {
		return func(d unit.Duration) float64 {
			if d < low || d > high {
				return beyond
			}
			return 100
		}
	}
	for _, x := range []struct {
		name       string
		off        func(unit.Duration) float64
		from, step unit.Duration
		want       unit.Duration
	}{
		{"to the right", flat(0, 47*ms, 106), 40 * ms, 2 * ms, 46 * ms},
		{"to the left", flat(33*ms, 99*ms, 106), 40 * ms, -2 * ms, 34 * ms},
		{"a twentieth more is as good", flat(0, 47*ms, 105), 40 * ms, 2 * ms, 58 * ms},
		{"nine steps", flat(0, 150*ms, 106), 40 * ms, 2 * ms, 58 * ms},
		{"not before the frame", flat(-99*ms, 150*ms, 106), 5 * ms, -2 * ms, 1 * ms},
		{"to the frame itself", flat(-99*ms, 150*ms, 106), 4 * ms, -2 * ms, 0},
		{"not later than a receiver may be", flat(0, 999*ms, 106), 147 * ms, 2 * ms, 149 * ms},
	} {
		assert.Equal(t, x.want, plateau(x.off, x.from, x.step), x.name)
	}
}

// Episodes that begin within a second of the first of them are one.
func TestJoin(t *testing.T) {
	const ms = unit.Time(unit.Millisecond)
	d, _ := line(stand(0, 8), stand(1500, 8))
	d.at = []unit.Time{0, 100 * ms, 300 * ms, 400 * ms, 999 * ms, 1000 * ms, 1999 * ms, 5000 * ms}
	d.ends = []int{2, 4, 5, 6, 7, 8}
	d.join(unit.Second)
	assert.Equal(t, []int{5, 7, 8}, d.ends)
}

// betweenOff is how far the rows lie off on which a delay is tried.
func (t *table) betweenOff() float64 {
	rows, _ := t.between()
	return rows.try().off
}

// What reports a delay is how far rows that move lie off: not those at the ends, and no
// wrong pulse counts for more than 50 µs.
func TestHowFarRowsLieOff(t *testing.T) {
	build := func(change func(x, y []float64)) *table {
		x := append(ramp(-400, 20, 41), ramp(400, -20, 41)...)
		var y []float64
		for i := range x {
			y = append(y, 1500+x[i]+4*float64(1-2*(i%2)))
		}
		change(x, y)
		d, _ := line(x, y)
		return d
	}
	off := build(func(_, _ []float64) {}).betweenOff()
	assert.InDelta(t, 82*16, off, 20, "each row by 4 µs")
	wrong := build(func(_, y []float64) { y[20] += 700 }).betweenOff()
	assert.InDelta(t, off-16+2500, wrong, 60, "one by 50 µs at most")
	ends := build(func(x, y []float64) {
		for i := range x {
			y[i] = min(y[i], 1700)
		}
	}).betweenOff()
	assert.InDelta(t, 62*16, ends, 40, "ten places at that end, there and back, are cut off and don't count")
	moving := build(func(_, _ []float64) {})
	for i := range moving.slack {
		moving.slack[i] = 1e4
	}
	assert.InDelta(t, off, moving.betweenOff(), 1e-6, "a movement is what tells")
	none := build(func(_, y []float64) { copy(y, stand(1500, len(y))); copy(y[41:], stand(1600, 41)) })
	assert.True(t, math.IsInf(none.betweenOff(), 1), "it stands at its ends all the time")
}

// answering is a log of one stick and of an output that follows it so much later, with
// a frame each 7 ms and a pulse each so many.
func answering(late, apart unit.Duration) *Log {
	const ms = unit.Millisecond
	l := &Log{}
	l.Begin([]Channel{{Number: 1, Neutral: 1_500_000, Centred: true}})
	place := func(at unit.Duration) unit.Width { // a swing that slows down and turns
		s := float64(at) / 1e9
		return unit.Width(1_500_000 + 450_000*math.Sin(2*math.Pi*(0.4*s+0.2*math.Sin(1.1*s))))
	}
	frame := func(at unit.Duration) unit.Duration { return at / (7 * ms) * 7 * ms } // the last that came
	rise := 300 * ms
	for at := unit.Duration(0); at < 12_000*ms; at += 7 * ms {
		l.Frame(unit.Time(at), []unit.Width{place(at)})
		for ; rise+3*ms < at; rise += apart {
			l.Pulse(1, unit.Time(rise), place(frame(rise-late)))
		}
	}
	return l
}

// A hint need not be the delay.
func TestTheDelayIsFound(t *testing.T) {
	const ms = unit.Millisecond
	for _, late := range []unit.Duration{2 * ms, 12 * ms, 47 * ms, 88 * ms, 140 * ms} {
		l := answering(late, 20300*ms/1000)
		f, ok := l.Fit(1, 0, -1)
		require.True(t, ok)
		assert.InDelta(t, int64(late), int64(f.Delay), float64(3*ms), "%d ms", late/ms)
		for _, hint := range []unit.Duration{late - 6*ms, late, late + 6*ms} {
			again, ok := l.Fit(1, 0, max(0, hint))
			require.True(t, ok)
			assert.InDelta(t, int64(late), int64(again.Delay), float64(3*ms), "%d ms, told %d ms", late/ms, hint/ms)
		}
	}
}

// Where frames and pulses keep step, all delays within a frame look the same. The
// middle of them is reported: the pulses rise 6 ms after a frame, so delays of 41 to 48 ms
// take what came with the same one.
func TestTheDelayOfPulsesThatKeepStep(t *testing.T) {
	const ms = unit.Millisecond
	for _, late := range []unit.Duration{42 * ms, 45 * ms, 47 * ms} {
		l := answering(late, 21*ms)
		for _, hint := range []unit.Duration{-1, 36 * ms, 38 * ms, 45 * ms, 50 * ms, 54 * ms} {
			f, ok := l.Fit(1, 0, hint)
			require.True(t, ok)
			assert.InDelta(t, int64(44500*ms/1000), int64(f.Delay), float64(2*ms), "%d ms, told %d ms", late/ms, hint/ms)
		}
	}
}
