package mix

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/integrate/quad"
)

// An estimator of a mean with normal errors is as efficient as
// (E psi')² / E psi² says (Huber, Ann. Math. Statist. 35, 1964): both tuning constants
// are those for 95 %.
func TestTuningConstantsAreThoseFor95Percent(t *testing.T) {
	for name, x := range map[string]struct {
		gentle bool
		end    float64 // beyond which psi does not change
	}{
		"Huber":    {true, huber},
		"biweight": {false, biweight},
	} {
		psi := func(r float64) float64 { return r * weight(r, x.gentle) }
		slope := func(r float64) float64 { return (psi(r+1e-6) - psi(r-1e-6)) / 2e-6 }
		assert.InDelta(t, 0.95, square(expected(slope, x.end))/expected(func(r float64) float64 { return square(psi(r)) }, x.end), 0.0005, name)
	}
	assert.InDelta(t, 0.5, math.Erf(normalMAD/math.Sqrt2), 1e-4, "half of all lie within it")
}

// expected is the mean of an even function of a standard normal variable. It is
// integrated on both sides of the corner at end.
func expected(f func(float64) float64, end float64) float64 {
	g := func(r float64) float64 { return 2 * f(r) * math.Exp(-r*r/2) / math.Sqrt(2*math.Pi) }
	return quad.Fixed(g, 0, end, 60, nil, 0) + quad.Fixed(g, end, 12, 60, nil, 0)
}

func square(v float64) float64 { return v * v }
