package oscillation_test

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/dsp/fourier"

	"benchproof.example/monitor/fit/oscillation"
	"benchproof.example/monitor/unit"
)

// sampled are pulses each period ns of a shape in µs, in half microseconds as a board
// counts them, read off as a grid.
func sampled(period unit.Duration, shape func(seconds float64) float64) *oscillation.Grid {
	g := &oscillation.Grid{}
	for rise := unit.Duration(0); !g.Full(); rise += period {
		g.Pulse(rise, unit.Width(math.Round(2*shape(float64(rise)/1e9)))*500)
	}
	return g
}

func sine(hz, amplitude, phase float64) func(float64) float64 {
	return func(t float64) float64 { return 1500 + amplitude*math.Sin(2*math.Pi*hz*t+phase) }
}

// A sine that is known is found as it is, at each frequency, pace of pulses and phase.
func TestAKnownSine(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for _, period := range []unit.Duration{3_003_000, 10_000_000, 20_000_000, 25_000_000} {
		for _, hz := range []float64{0.55, 0.7, 1, 1.26, 2, 3.37, 4.99, 7.01, 9.5} {
			for _, amplitude := range []float64{5.5, 12, 80} {
				g := sampled(period, sine(hz, amplitude, 2*math.Pi*rng.Float64()))
				s, ok := oscillation.Find(&g.Widths, g.Period, 0)
				require.True(t, ok, "%v Hz, %v µs", hz, amplitude)
				assert.InDelta(t, 1000*hz, s.MilliHz, 25, "%v µs, each %d", amplitude, period)
				assert.InEpsilon(t, 1000*amplitude, int64(s.Amplitude), 0.05, "%v Hz, %v µs, each %d", hz, amplitude, period)
			}
		}
	}
}

// Another transform finds the same frequency and amplitude in the same samples.
func TestAnOutsideTransformAgrees(t *testing.T) {
	for _, hz := range []float64{0.6, 1.1, 2.75, 6.2} {
		g := sampled(10_000_000, func(t float64) float64 { return sine(hz, 30, 1)(t) + 3*math.Sin(2*math.Pi*9.1*t) + t })
		s, ok := oscillation.Find(&g.Widths, g.Period, 0)
		require.True(t, ok)
		wantHz, wantAmplitude := outside(g.Widths[:])
		assert.InDelta(t, wantHz, float64(s.MilliHz)/1000, 0.03)
		// The transform has it as it is in the samples; a mean over 25 ms of straight
		// lines over 10 ms is a little less than the swing itself.
		assert.InEpsilon(t, wantAmplitude/(sinc(hz*0.025)*sinc(hz*0.01)*sinc(hz*0.01)), int64(s.Amplitude), 0.02)
	}
}

func sinc(x float64) float64 { return math.Sin(math.Pi*x) / (math.Pi * x) }

// outside reads the strongest swing above 0.4 Hz off a finely zero-padded transform of
// gonum's.
func outside(widths []unit.Width) (hz, amplitude float64) {
	const fine = 1 << 14
	n := float64(len(widths))
	mean := 0.0
	for _, w := range widths {
		mean += float64(w) / n
	}
	padded := make([]float64, fine)
	for i, w := range widths {
		padded[i] = (float64(w) - mean) * (0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/n))
	}
	step := 1 / (0.025 * fine)
	for k, c := range fourier.NewFFT(fine).Coefficients(nil, padded) {
		if a := cmplx.Abs(c) / (n / 4); float64(k)*step > 0.4 && a > amplitude {
			hz, amplitude = float64(k)*step, a
		}
	}
	return hz, amplitude
}

// A swing is found on a drift that is many times as much.
func TestASineOnADrift(t *testing.T) {
	g := sampled(20_000_000, func(t float64) float64 { return sine(1.5, 12, 1)(t) - 100*t })
	s, ok := oscillation.Find(&g.Widths, g.Period, 0)
	require.True(t, ok)
	assert.InDelta(t, 1500, s.MilliHz, 25)
	assert.InEpsilon(t, 12_000, int64(s.Amplitude), 0.05)
}

// Steps are means of the straight lines between pulses, whatever their pace.
func TestGridOfALine(t *testing.T) {
	for _, period := range []unit.Duration{3_000_000, 7_000_000, 20_000_000, 30_000_000, 60_000_000} {
		g := &oscillation.Grid{}
		for at := unit.Duration(0); !g.Full(); at += period {
			g.Pulse(1_000_000_000+at, 1_000_000+unit.Width(at/10_000))
		}
		for n, w := range g.Widths {
			require.InDelta(t, 1_000_000+2500*n+1250, int64(w), 2, "each %d ns", period)
		}
		assert.Equal(t, period, g.Period)
		first := g.Widths[60]
		g.Drop(60)
		assert.Equal(t, 180, g.N)
		assert.Equal(t, first, g.Widths[0])
		g.Reset()
		g.Pulse(5, 1_500_000)
		assert.Zero(t, g.N)
	}
}

// What is no swing has no peak that stands out.
func TestNoSwing(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	step := func(at, by float64) func(float64) float64 {
		return func(t float64) float64 {
			if t > at {
				return 1500 + by
			}
			return 1500
		}
	}
	held := func(from, to float64) func(float64) float64 {
		return func(t float64) float64 { return step(from, 80)(t) + step(to, -80)(t) - 1500 }
	}
	for name, shape := range map[string]func(float64) float64{
		"still":              func(float64) float64 { return 1500 },
		"drift":              func(t float64) float64 { return 1500 + 20*t },
		"bent drift":         func(t float64) float64 { return 1500 + 5*t*t },
		"slower":             sine(0.2, 40, 1),
		"faster":             sine(14, 40, 1),
		"a step":             step(3, 100),
		"an early step":      step(1, 100),
		"a late step":        step(4.5, -100),
		"a tilt and back":    held(2, 4),
		"a short tilt":       held(3, 3.5),
		"a kick that fades":  func(t float64) float64 { return 1500 + (step(2, 100)(t)-1500)*math.Exp(2*(2-t)) },
		"noise":              func(float64) float64 { return 1500 + 4*rng.NormFloat64() },
		"two swings at once": func(t float64) float64 { return 1500 + 20*math.Sin(7*t) + 20*math.Sin(19*t) },
	} {
		g := sampled(20_000_000, shape)
		s, ok := oscillation.Find(&g.Widths, g.Period, 0)
		assert.False(t, ok && s.Amplitude >= 5000, "%s: %+v", name, s)
	}
}

// A period that can't be, and pulses that come twice, break nothing.
func TestWhatCannotBe(t *testing.T) {
	g := sampled(20_000_000, sine(9.9, 30, 0))
	for _, period := range []unit.Duration{-1, 0, 50_000_000, 100_000_000, 200_000_000, math.MaxInt64 / 10_000} {
		s, ok := oscillation.Find(&g.Widths, period, 0)
		require.True(t, ok)
		assert.Greater(t, s.Amplitude, unit.Width(20_000))
	}
	twice := &oscillation.Grid{}
	for rise := unit.Duration(0); !twice.Full(); rise += 20_000_000 {
		for _, again := range []unit.Duration{0, 0, -5_000_000} {
			twice.Pulse(rise+again, unit.Width(math.Round(2*sine(9.9, 30, 0)(float64(rise)/1e9)))*500)
		}
	}
	assert.Equal(t, g.Widths, twice.Widths)
}

// What is said to be none of an amplitude without a look at the spectrum would not have been
// found with one.
func TestWhatIsTooFaintIsNotFound(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	found := 0
	for range 3000 {
		noise, swing, hz := 6*rng.Float64(), 8*rng.Float64(), 0.5+9.5*rng.Float64()
		period := unit.Duration(3+rng.IntN(60)) * unit.Millisecond
		g := sampled(period, func(t float64) float64 { return sine(hz, swing, noise)(t) + noise*rng.NormFloat64() })
		want, ok := oscillation.Find(&g.Widths, g.Period, 0)
		for _, least := range []unit.Width{1000, 3000, 5000, want.Amplitude, want.Amplitude + 1} {
			got, is := oscillation.Find(&g.Widths, g.Period, least)
			require.Equal(t, ok && want.Amplitude >= least, is, "%v Hz, %v µs, noise of %v, each %v, %v", hz, swing, noise, period, least)
			if is {
				require.Equal(t, want, got)
				found++
			}
		}
	}
	require.Greater(t, found, 2000)
}

func TestALookAllocatesNothing(t *testing.T) {
	g := sampled(20_000_000, sine(2, 10, 0))
	assert.Zero(t, testing.AllocsPerRun(10, func() { oscillation.Find(&g.Widths, g.Period, 0) }))
}

func BenchmarkFind(b *testing.B) {
	for name, amplitude := range map[string]float64{"swings": 10, "rests": 1} {
		b.Run(name, func(b *testing.B) {
			g := sampled(20_000_000, sine(2, amplitude, 0))
			b.ReportAllocs()
			for b.Loop() {
				oscillation.Find(&g.Widths, g.Period, 5_000)
			}
		})
	}
}
