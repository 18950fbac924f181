package mix_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/fit/mix"
)

// withThrottle are four channels, the third of which is a throttle.
func withThrottle() *mix.Log {
	channels := sticks(4)
	channels[2].Neutral, channels[2].Centred = 988_000, false
	l := &mix.Log{}
	l.Begin(channels)
	return l
}

// raising raises the throttle and lowers it again, over and over, as a hand does it; the
// other sticks are moved now and then.
func raising(seed uint64) hand {
	rng := rand.New(rand.NewPCG(seed, 77))
	lasts, rest, top := 1.5+2*rng.Float64(), 1+2*rng.Float64(), 0.7+0.3*rng.Float64()
	all := 2*lasts + 2*rest
	smooth := func(x float64) float64 { x = max(0, min(1, x)); return x * x * x * (10 - 15*x + 6*x*x) }
	return func(c int, t float64) float64 {
		if c != 2 {
			if t = math.Mod(t+all/2*float64(c), 3*all); t < 4 {
				return 1500 + 512*max(-1, min(1, 1.3*math.Sin(2*math.Pi*t/4)))
			}
			return 1500
		}
		t = math.Mod(t, all)
		return 988 + 1024*top*(smooth((t-rest)/lasts)-smooth((t-2*rest-lasts)/lasts))
	}
}

// A clip of 20 µs is seen of nearly every receiver, at the low end of a motor, too; of
// one that cuts nothing off, whatever else it does, none is.
func TestSmallClips(t *testing.T) {
	motor := func(r *receiver) { r.slopes, r.offset, r.low = []float64{0, 0, 1, 0}, 0, 1008 }
	for _, x := range []struct {
		name string
		set  func(r *receiver)
		seen bool
	}{
		{"a motor's low end, by 20", motor, true},
		{"a motor's low end, not", func(r *receiver) { motor(r); r.low = 700 }, false},
		{"a stick's, by 20", func(r *receiver) { r.slopes = airframes[0]; r.high = 1500 + r.offset + 492 }, true},
		{"a stick's, not", func(r *receiver) { r.slopes = airframes[0] }, false},
		{"wrong pulses", func(r *receiver) { r.odd = 0.03 }, false},
		{"a dead band", func(r *receiver) { r.dead = 30 }, false},
		{"a drift", func(r *receiver) { r.drift = 20 }, false},
		{"a jitter", func(r *receiver) { r.jitter = 3 }, false},
		{"packets", func(r *receiver) { r.packet = 0.019 }, false},
	} {
		t.Run(x.name, func(t *testing.T) {
			seen := 0
			for seed := uint64(0); seed < 20; seed++ {
				r, rng := seeded(seed)
				r.driftHz = 0.02 + 0.13*rng.Float64()
				x.set(&r)
				l, h := logOf(4), []hand{oneByOne(4, seed), stirring(seed, 1), stirring(seed, 1.6)}[seed%3]
				if r.slopes[2] != 0 {
					l, h = withThrottle(), raising(seed)
				}
				r.run(l, h, 0, 30, rng)
				if f, _ := l.Fit(1, 0, -1); f.Low.Width != 0 || f.High.Width != 0 {
					seen++
				}
			}
			if x.seen {
				assert.GreaterOrEqual(t, seen, 17)
				return
			}
			assert.Zero(t, seen)
		})
	}
}

// A throttle that is at its lowest for half of each turn of its gimbal, while the
// rudder goes on in step with it: its output stands flat meanwhile, and no limit cuts it
// off. What moves it may be left open; nothing wrong is reported.
func TestAThrottleAtItsLowestIsNoLimit(t *testing.T) {
	for _, late := range []float64{0, 0.8} {
		reported := 0
		for seed := uint64(0); seed < 40; seed++ {
			r, rng := seeded(seed)
			r.slopes, r.offset = []float64{0, 0, 1, 0}, 172
			turns, early := 2*math.Pi*(0.2+0.5*rng.Float64()), 0.6*rng.Float64()
			reach, off := 0.2+0.6*rng.Float64(), 0.6*rng.Float64()
			h := func(c int, t float64) float64 {
				switch {
				case c == 3:
					return 1500 + 500*math.Sin(turns*t)
				case c == 2:
					return 988 + 1024*reach*max(0, math.Sin(turns*t+late+early*(0.8-late))-off)
				case c == 0 && late != 0:
					return 1500 + 400*math.Sin(0.7*turns*t)
				}
				return 1500
			}
			l := withThrottle()
			r.run(l, h, 0, 20, rng)
			f, _ := l.Fit(1, 0, -1)
			if assert.Zero(t, f.Low.Width+f.High.Width, "seed %d: %+v", seed, f); len(f.Terms) > 0 {
				reported++
			}
			for _, term := range f.Terms {
				assert.InDelta(t, r.slopes[term.Channel-1]*1e6, term.PPM, float64(max(20_000, 3*term.HalfInterval)), "seed %d: %+v", seed, f)
			}
		}
		t.Logf("late %v: %d of 40 told", late, reported)
	}
}
