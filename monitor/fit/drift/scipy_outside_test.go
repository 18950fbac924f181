//go:build outside

package drift

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/fit/scipytest"
	"benchproof.example/monitor/unit"
)

func TestFitAgainstStatsmodels(t *testing.T) {
	var asked [][]float64
	var soaks [][]Mean
	for seed := range uint64(60) {
		random := rand.New(rand.NewPCG(5, seed))
		slots := wandering(random, 120+random.IntN(600), 100*random.NormFloat64(), 0.98*random.Float64())
		slots = slots[:len(slots)/coarse*coarse] // all of the coarser scale are whole
		var heights []float64
		for _, s := range slots {
			heights = append(heights, float64(s.Sum)/float64(s.N))
		}
		asked, soaks = append(asked, heights), append(soaks, slots)
	}
	var answer [][2]float64
	scipytest.Ask(t, `import numpy as np, statsmodels.api as sm
from scipy.stats import t
def fit(y, hours):
    n = len(y)
    r = sm.OLS(y, sm.add_constant(np.arange(n)*hours)).fit()
    e = r.resid
    rho = (e[1:]*e[:-1]).sum()/(e*e).sum()
    rho = np.clip(rho + (2 + 4*rho)/n, 0, .98)
    m = max(4, n*(1 - rho)/(1 + rho))
    return r.params[1], t.ppf(.975, m - 2)*r.bse[1]*np.sqrt((1 + rho)/(1 - rho))
answer = []
for y in asked:
    b, h1 = fit(np.array(y), 1/60)
    answer.append((b, max(h1, fit(np.array(y).reshape(-1, 5).mean(1), 1/12)[1])))`, asked, &answer)
	for i, slots := range soaks {
		got, refused := Fit(slots, unit.Minute, 0, 0)
		require.Equal(t, None, refused)
		assert.InDelta(t, answer[i][0], float64(got.PerHour), 0.501)
		assert.InDelta(t, math.Ceil(answer[i][1]), float64(got.Within), 1e-6)
	}
}

// The published data that the tests have are those that statsmodels has, which finds all that
// is certified.
func TestLongleyIsStatsmodels(t *testing.T) {
	var answer struct {
		Data   [][7]float64
		Params [7]float64
		Errors [7]float64
	}
	scipytest.Ask(t, `import statsmodels.api as sm
d = sm.datasets.longley.load_pandas()
r = sm.OLS(d.endog, sm.add_constant(d.exog)).fit()
answer = {'Data': [[y] + x for y, x in zip(d.endog.tolist(), d.exog.values.tolist())], 'Params': r.params.tolist(), 'Errors': r.bse.tolist()}`, nil, &answer)
	assert.Equal(t, longley, answer.Data)
	assert.InEpsilon(t, -3482258.63, answer.Params[0], 1e-8)
	assert.InEpsilon(t, 890420.384, answer.Errors[0], 1e-8)
	assert.InEpsilon(t, 1829.15146, answer.Params[6], 1e-8)
	assert.InEpsilon(t, 455.478499, answer.Errors[6], 1e-8)
}
