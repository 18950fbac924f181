package mix_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/fit/mix"
	"benchproof.example/monitor/unit"
)

func random(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 3)) }

func reportedOf(f *mix.Fit) (list []int) {
	for _, t := range f.Terms {
		list = append(list, t.Channel)
	}
	return list
}

// still are all sticks in the middle but those of a hand.
func only(h hand, channels ...int) hand {
	return func(c int, t float64) float64 {
		for _, k := range channels {
			if c == k {
				return h(c, t)
			}
		}
		return 1500
	}
}

func TestWhatIsNotToldApart(t *testing.T) {
	swing := stirring(7, 1)
	together := func(c int, t float64) float64 {
		if c > 1 {
			return swing(c, t)
		}
		return swing(0, t) // one gimbal, always aslant
	}
	trembling := func(c int, t float64) float64 {
		if c == 1 {
			return swing(0, t) + 4*math.Sin(40*t)
		}
		return together(c, t)
	}
	mirrored := func(c int, t float64) float64 {
		if c == 1 {
			return 3000 - swing(0, t)
		}
		return together(c, t)
	}
	mostly := func(c int, t float64) float64 {
		if c == 1 {
			return 1500 + 0.8*(swing(0, t)-1500) + 0.3*(swing(1, t)-1500)
		}
		return together(c, t)
	}
	little := func(c int, t float64) float64 {
		if c == 1 {
			return 1500 + 0.09*(swing(1, t)-1500)
		}
		return swing(c, t)
	}
	for _, x := range []struct {
		name     string
		h        hand
		reported []int
		unmoved  []int
	}{
		{"all move", swing, []int{1, 2, 3, 4}, nil},
		{"one moves", only(swing, 2), []int{3}, []int{1, 2, 4}},
		{"two move together", together, []int{3, 4}, []int{1, 2}},
		{"together but for a step or two", trembling, []int{3, 4}, []int{1, 2}},
		{"together, the other way round", mirrored, []int{3, 4}, []int{1, 2}},
		{"together for the most part", mostly, []int{1, 2, 3, 4}, nil},
		{"one moves less than 100 µs", little, []int{1, 3, 4}, []int{2}},
	} {
		t.Run(x.name, func(t *testing.T) {
			for seed := uint64(0); seed < 3; seed++ {
				r := plainReceiver(airframes[seed%3]...)
				l := logOf(4)
				r.run(l, x.h, 0, 16, random(seed))
				f, ok := l.Fit(1, 0, -1)
				require.True(t, ok)
				assert.Equal(t, x.reported, reportedOf(&f), "%+v", f)
				assert.Equal(t, x.unmoved, f.Unmoved)
				n := tally{}
				n.add(&f, &r)
				assert.Zero(t, n.wrong+n.backward, "%+v", f)
			}
		})
	}
}

func TestNothingToGoBy(t *testing.T) {
	r := plainReceiver(1, 0, 0, 0)
	for _, x := range []struct {
		name  string
		h     hand
		lasts float64
	}{
		{"nothing moves", only(nil), 20},
		{"hardly begun", stirring(1, 1), 0.5},
	} {
		l := logOf(4)
		r.run(l, x.h, 0, x.lasts, random(1))
		_, ok := l.Fit(1, 0, -1)
		assert.False(t, ok, x.name)
	}
	l := logOf(4)
	r.run(l, stirring(1, 1), 0, 10, random(1))
	_, ok := l.Fit(2, 0, -1)
	assert.False(t, ok, "another output")
	_, ok = l.Fit(1, 11e9, -1)
	assert.False(t, ok, "later")
}

// An output that nothing moves is reported as such.
func TestAStillOutput(t *testing.T) {
	r := plainReceiver(0, 0, 0, 0)
	l := logOf(4)
	r.run(l, oneByOne(4, 1), 0, 24, random(1))
	f, ok := l.Fit(1, 0, -1)
	require.True(t, ok)
	require.Len(t, f.Terms, 4)
	for _, term := range f.Terms {
		assert.InDelta(t, 0, term.PPM, 5_000)
		assert.Less(t, term.HalfInterval, int64(10_000))
	}
	assert.Equal(t, unit.Duration(-1), f.Delay)
	assert.Zero(t, f.Low.Width+f.High.Width+f.Dead)
	assert.InDelta(t, 1_500_000, int64(f.Neutral), 1_000)
}

// What the fit says beside the slopes.
func TestFigures(t *testing.T) {
	r := plainReceiver(0.5, 0, 0, 0)
	r.offset, r.high = 30, 1700
	l := logOf(4)
	r.run(l, oneByOne(4, 3), 0, 24, random(1))
	f, ok := l.Fit(1, 0, -1)
	require.True(t, ok)
	assert.InDelta(t, 1_530_000, int64(f.Neutral), 1_000)
	assert.InDelta(t, 1_700_000, int64(f.High.Width), 1_000)
	assert.InDelta(t, 86_000, int64(f.High.Beyond), 3_000)
	assert.Equal(t, []int{1}, f.High.Channels)
	assert.Zero(t, f.Low.Width)
	assert.InDelta(t, 1_274_000, int64(f.Least), 3_000)
	assert.InDelta(t, 1_700_000, int64(f.Most), 3_000)
	assert.InDelta(t, 45e6, int64(f.Delay), 6e6)
	assert.Less(t, f.Off, unit.Width(1_000))
	assert.LessOrEqual(t, f.Samples, int64(1024))
}

// A channel that is cut off by the transmitter stands as the output does: no limit.
func TestCutOffByTheTransmitter(t *testing.T) {
	h := oneByOne(4, 3)
	r := plainReceiver(1, 0, 0, 0)
	l := logOf(4)
	r.run(l, func(c int, t float64) float64 { return min(1700, h(c, t)) }, 0, 24, random(1))
	f, ok := l.Fit(1, 0, -1)
	require.True(t, ok)
	assert.Zero(t, f.Low.Width+f.High.Width)
	assert.InDelta(t, 1_700_000, int64(f.Most), 3_000)
}

// A log goes on from its JSON as if nothing had been, and stays small.
func TestCheckpoint(t *testing.T) {
	r := plainReceiver(0.5, -0.5, 0, 0)
	whole, parts := logOf(4), logOf(4)
	h := stirring(3, 1)
	a, b := random(1), random(1)
	for at := 0.0; at < 40; at += 2.1 {
		r.run(whole, h, at, at+2.1, a)
		r.run(parts, h, at, at+2.1, b)
		raw, err := json.Marshal(parts)
		require.NoError(t, err)
		require.Less(t, len(raw), 120_000)
		parts = &mix.Log{}
		require.NoError(t, json.Unmarshal(raw, parts))
	}
	f, _ := whole.Fit(1, 0, -1)
	g, ok := parts.Fit(1, 0, -1)
	require.True(t, ok)
	assert.Equal(t, f, g)
	assert.LessOrEqual(t, f.Samples, int64(1024))
	again, _ := whole.Fit(1, 0, -1)
	assert.Equal(t, f, again, "the same twice")
}

// An hour of one stick does not push out what the others showed.
func TestWhatIsKept(t *testing.T) {
	r := plainReceiver(0.5, -0.5, 0, 0)
	l := logOf(4)
	rng := random(1)
	r.run(l, oneByOne(4, 2), 0, 20, rng)
	r.run(l, only(stirring(1, 1), 0), 20, 120, rng)
	assert.Len(t, l.Kept, 64)
	f, ok := l.Fit(1, 0, -1)
	require.True(t, ok)
	assert.Equal(t, []int{1, 2, 3, 4}, reportedOf(&f))
}

// Pulses and frames cost nothing to take while no episode is kept.
func TestAllocations(t *testing.T) {
	l := logOf(4)
	h := stirring(1, 1)
	widths := make([]unit.Width, 4)
	at := 0.0
	frame := func() {
		at += 0.007
		for c := range widths {
			widths[c] = unit.Width(h(c, at) * 1000)
		}
		l.Frame(unit.Time(at*1e9), widths)
	}
	for range 200 {
		frame()
		l.Pulse(1, unit.Time(at*1e9), 1_500_000)
	}
	for !l.Opened {
		frame()
	}
	assert.Zero(t, testing.AllocsPerRun(100, func() { l.Pulse(1, unit.Time(at*1e9), 1_500_000) }), "a pulse")
	l.Break()
	for c := range widths {
		widths[c] = 1_500_000
	}
	l.Ref = append(l.Ref[:0], widths...)
	assert.Zero(t, testing.AllocsPerRun(1000, func() { at += 0.007; l.Frame(unit.Time(at*1e9), widths) }), "a frame at rest")
}

func BenchmarkFit(b *testing.B) {
	r := plainReceiver(0.5, -0.5, 0, 0)
	l := logOf(4)
	r.run(l, stirring(1, 1), 0, 24, random(1))
	f, _ := l.Fit(1, 0, -1)
	b.Logf("%d samples", f.Samples)
	for _, x := range []struct {
		name string
		hint unit.Duration
	}{{"first", -1}, {"again", f.Delay}} {
		b.Run(x.name, func(b *testing.B) {
			for b.Loop() {
				l.Fit(1, 0, x.hint)
			}
		})
	}
}
