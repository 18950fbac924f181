//go:build outside

package slope

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/fit/scipytest"
)

// Least squares of statsmodels find the same lines, with the same standard errors.
func TestAgainstStatsmodels(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	var asked [][][3]float64 // x, y, side
	var points [][]Point
	for range 300 {
		var ask [][3]float64
		p := mark(6*random.NormFloat64(), 1500, 4*random.NormFloat64(), 6, 16, 26, -6, -16, -26)
		for i := range p {
			p[i].X += random.NormFloat64()
			p[i].Y += random.NormFloat64()
			ask = append(ask, [3]float64{p[i].X, p[i].Y, float64(p[i].Side)})
		}
		asked, points = append(asked, ask), append(points, p)
	}
	var answer [][]float64
	scipytest.Ask(t, `import numpy as np, statsmodels.api as sm
answer = []
for rows in asked:
    x, y, side = np.array(rows).T
    r = sm.OLS(y, np.column_stack([x, np.ones(len(x)), -side])).fit()
    l = sm.OLS(y, np.column_stack([x, np.ones(len(x))])).fit()
    half = r.params[0] - r.conf_int(0.05)[0][0]
    answer.append([*r.params, *r.bse, half, *l.params, *l.bse])`, asked, &answer)
	for i, want := range answer {
		s, ok := BothSides(points[i])
		require.True(t, ok)
		l, ok := Through(points[i])
		require.True(t, ok)
		for k, got := range []float64{s.Slope, s.Middle, s.Step, s.SlopePart * s.Stray, s.MiddlePart * s.Stray, s.StepPart * s.Stray,
			Within(s.SlopePart*s.Stray, s.Freedom),
			l.Slope, l.Intercept, l.SlopeError, l.InterceptError} {
			assert.InEpsilon(t, want[k], got, 1e-8, "%d: %d", i, k)
		}
	}
}
