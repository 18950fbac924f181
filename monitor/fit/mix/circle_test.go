package mix_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/fit/mix"
)

// circling is a stick that goes round at one rhythm, from its middle and back, so that
// the two channels of its gimbal are a quarter of a turn apart. The others stand.
func circling(first, second int, turn, lasts float64) hand {
	return func(c int, t float64) float64 {
		reach := 480 * max(0, min(1, min(t-1, 1+lasts-t)/0.3))
		switch c {
		case first:
			return 1500 + reach*math.Cos(2*math.Pi*t/turn)
		case second:
			return 1500 + reach*math.Sin(2*math.Pi*t/turn)
		}
		return 1500
	}
}

// On a circle a delay turns one channel into a share of the other: what is reported
// the slopes must bear that.
func TestTheSlopesOfACircle(t *testing.T) {
	for name, slopes := range map[string][]float64{"one": {1, 0, 0, 0}, "two": {0.5, 0.5, 0, 0}} {
		t.Run(name, func(t *testing.T) {
			reported := 0
			for seed := uint64(0); seed < 40; seed++ {
				r, rng := seeded(seed)
				r.slopes, r.jitter, r.offset = slopes, 0.1*float64(seed%4), 0
				if seed%2 == 1 {
					r.packet = 0.009 + 0.003*rng.Float64()
				}
				l := logOf(4)
				r.run(l, circling(0, 1, 0.6+1.4*rng.Float64(), 3+6*rng.Float64()), 0, 12, rng)
				f, _ := l.Fit(1, 0, -1)
				for _, term := range f.Terms {
					reported++
					off := math.Abs(float64(term.PPM)/1e6 - slopes[term.Channel-1])
					assert.LessOrEqual(t, off, float64(term.HalfInterval)/1e6, "seed %d: %+v", seed, f)
				}
			}
			t.Log(reported, "told")
		})
	}
}

// The same with a throttle (its slope within 0.03) that then stands at its lowest, while the rudder goes on:
// that is where the throttle has it, no limit.
func TestALowestThrottleIsNoLimit(t *testing.T) {
	for seed := uint64(0); seed < 40; seed++ {
		r, rng := seeded(seed)
		r.slopes = []float64{0, 0, 1, 0}
		l := &mix.Log{}
		l.Begin([]mix.Channel{
			{Number: 1, Neutral: 1_500_000, Centred: true}, {Number: 2, Neutral: 1_500_000, Centred: true},
			{Number: 3, Neutral: 1_160_000}, {Number: 4, Neutral: 1_500_000, Centred: true},
		})
		turn := 0.6 + 1.4*rng.Float64()
		round := circling(2, 3, turn, 20)
		h := func(c int, t float64) float64 {
			switch v := round(c, t); {
			case c == 2 && t > 1+2.25*turn: // it has come to the stop at the front, and lies there
				return 1160
			case c == 2:
				return max(1160, v-200*min(1, max(0, t-0.9)))
			default:
				return v
			}
		}
		r.run(l, h, 0, 12, rng)
		f, _ := l.Fit(1, 0, -1)
		assert.Zero(t, f.Low.Width, "seed %d: %+v", seed, f)
		for _, term := range f.Terms {
			off := math.Abs(float64(term.PPM)/1e6 - r.slopes[term.Channel-1])
			assert.LessOrEqual(t, off, max(0.03, float64(term.HalfInterval)/1e6), "seed %d: %+v", seed, f)
		}
	}
}
