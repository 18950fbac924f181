package mix_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/fit/mix"
)

// fitted is what is found of a receiver's output.
func fitted(t *testing.T, r *receiver, h hand, lasts float64) mix.Fit {
	t.Helper()
	l := logOf(len(r.slopes))
	r.run(l, h, 0, lasts, random(1))
	f, ok := l.Fit(1, 0, -1)
	require.True(t, ok)
	return f
}

// Two dozen samples are enough to begin with.
func TestTheFewestSamples(t *testing.T) {
	r := plainReceiver(0.5, -0.5, 0, 0)
	l := logOf(4)
	r.run(l, stirring(1, 1), 0, 2, random(1))
	l.Kept = l.Kept[3:5] // of twelve samples each
	f, ok := l.Fit(1, 0, -1)
	require.True(t, ok)
	assert.Equal(t, int64(24), f.Samples)
	last := &l.Kept[1]
	last.Pulses = last.Pulses[:len(last.Pulses)-9] // three numbers of three bytes
	_, ok = l.Fit(1, 0, -1)
	assert.False(t, ok)
}

// A channel must move by 5 µs to be looked at and by 100 µs to be reported.
func TestHowFarAChannelMustMove(t *testing.T) {
	for _, x := range []struct {
		reach        float64 // µs, from end to end
		ok, reported bool
	}{
		{4.375, false, false},
		{8, true, false},
		{85, true, false},
		{125, true, true},
	} {
		r := plainReceiver(1)
		l := logOf(1)
		r.run(l, func(_ int, t float64) float64 { return 1500 + x.reach/2*(1+math.Cos(5*t)) }, 0, 10, random(1))
		f, ok := l.Fit(1, 0, -1)
		assert.Equal(t, x.ok, ok, "%v µs", x.reach)
		assert.Equal(t, x.reported, len(f.Terms) > 0, "%v µs: %+v", x.reach, f)
	}
}

// What is too unsure is not reported.
func TestWhatIsTooUnsure(t *testing.T) {
	for name, x := range map[string]struct {
		set      func(*receiver)
		reported bool
	}{
		"a little drift":           {func(r *receiver) { r.drift, r.driftHz = 15, 0.07 }, true},
		"a stabiliser drifts far":  {func(r *receiver) { r.drift, r.driftHz = 120, 0.07 }, false},
		"a little jitter":          {func(r *receiver) { r.jitter = 4 }, true},
		"the output jitters a lot": {func(r *receiver) { r.jitter = 12 }, false},
	} {
		r := plainReceiver(1, 0)
		x.set(&r)
		f := fitted(t, &r, oneByOne(2, 1), 20)
		assert.Equal(t, x.reported, len(f.Terms) == 2, "%s: %+v", name, f)
		assert.Equal(t, x.reported, len(f.Unmoved) == 0, "%s: %+v", name, f)
	}
}

// Neutral is where the output stands, Sum where it would without limits.
func TestANeutralBeyondALimit(t *testing.T) {
	for _, x := range []struct {
		offset, low, high, neutral float64
	}{
		{200, 1300, 1600, 1600},
		{-200, 1400, 1700, 1400},
		{50, 1300, 1700, 1550},
	} {
		r := plainReceiver(1, 0)
		r.offset, r.low, r.high = x.offset, x.low, x.high
		f := fitted(t, &r, stirring(1, 1), 20)
		assert.InDelta(t, 1000*(1500+x.offset), int64(f.Sum), 3_000, "%+v", f)
		assert.InDelta(t, 1000*x.neutral, int64(f.Neutral), 3_000, "%+v", f)
	}
}

// The sticks hardly leave neutral to one side: where the output stands then, it is in a
// dead band. A throttle has none, and its end is a limit.
func TestWhereItStandsNearNeutral(t *testing.T) {
	for _, x := range []struct {
		name    string
		centred bool
		dead    float64
		low     float64
		limit   bool
	}{
		{"a dead band of a stick", true, 100, 700, false},
		{"a limit not far from a stick's neutral", true, 0, 1460, false},
		{"a limit farther from it", true, 0, 1430, true},
		{"a limit near the neutral of a throttle", false, 0, 1460, true},
	} {
		t.Run(x.name, func(t *testing.T) {
			r := plainReceiver(1)
			r.dead, r.low = x.dead, x.low
			l := &mix.Log{}
			l.Begin([]mix.Channel{{Number: 3, Neutral: 1_500_000, Centred: x.centred}})
			h := oneByOne(1, 1)
			r.run(l, func(c int, t float64) float64 { return max(1400, h(c, t)) }, 0, 20, random(1))
			f, ok := l.Fit(1, 0, -1)
			require.True(t, ok)
			assert.Equal(t, x.limit, f.Low.Width != 0, "%+v", f)
			assert.Zero(t, f.High.Width)
		})
	}
}

// A dead band lies about a centred stick, whichever way the output goes.
func TestWhereADeadBandLies(t *testing.T) {
	for _, x := range []struct {
		name    string
		slope   float64
		centred bool
		dead    float64 // µs
	}{
		{"a stick", 1, true, 30},
		{"the other way round", -1, true, 30},
		{"half of it", 0.5, true, 30},
		{"no stick", 1, false, 0},
	} {
		t.Run(x.name, func(t *testing.T) {
			r := plainReceiver(x.slope)
			r.dead = 30
			l := &mix.Log{}
			l.Begin([]mix.Channel{{Number: 1, Neutral: 1_500_000, Centred: x.centred}})
			r.run(l, oneByOne(1, 1), 0, 20, random(1))
			f, ok := l.Fit(1, 0, -1)
			require.True(t, ok)
			assert.InDelta(t, 1000*x.dead, int64(f.Dead), 5_000, "%+v", f)
			assert.InDelta(t, 45e6, int64(f.Delay), 10e6)
		})
	}
}

// Wrong pulses don't widen the range that was seen, and a fit is dated by the first
// sample that it rests on.
func TestTheRangeThatWasSeen(t *testing.T) {
	r := plainReceiver(0.5)
	r.odd = 0.02
	l := logOf(1)
	r.run(l, oneByOne(1, 1), 0, 20, random(1))
	f, ok := l.Fit(1, 0, -1)
	require.True(t, ok)
	assert.InDelta(t, 1_244_000, int64(f.Least), 4_000)
	assert.InDelta(t, 1_756_000, int64(f.Most), 4_000)
	assert.InDelta(t, float64(l.Kept[0].At), float64(f.From), 50e6, "the receiver begins with its first pulse")
	from := l.Kept[3].At
	later, ok := l.Fit(1, from, -1)
	require.True(t, ok)
	assert.GreaterOrEqual(t, later.From, from)
	assert.InDelta(t, float64(from), float64(later.From), 20e6)
	l.Kept = l.Kept[3:]
	again, ok := l.Fit(1, 0, -1)
	require.True(t, ok)
	assert.Equal(t, again, later)
}

// Where channels always moved together it is not known which of them went on at a limit,
// nor that anything was cut off.
func TestALimitOfChannelsThatAreNotTold(t *testing.T) {
	swing := stirring(7, 1)
	together := func(c int, t float64) float64 { return swing(max(1, c), t) }
	for name, x := range map[string]struct {
		h     hand
		limit bool
	}{"each by itself": {swing, true}, "always together": {together, false}} {
		for _, low := range []bool{true, false} {
			r := plainReceiver(0.5, 0.5, 0, 0)
			if r.low = 1400; !low {
				r.low, r.high = 700, 1600
			}
			f := fitted(t, &r, x.h, 20)
			assert.Equal(t, x.limit, f.Low.Width+f.High.Width != 0, "%s: %+v", name, f)
		}
	}
}
