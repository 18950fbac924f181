//go:build outside

package share

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/fit/scipytest"
)

func TestClopperPearsonAgainstStatsmodels(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 3))
	var asked [][2]float64
	for range 1000 {
		n := math.Exp(1 + 14*random.Float64())
		asked = append(asked, [2]float64{n * math.Pow(random.Float64(), 4), n})
	}
	var answer [][2]float64
	scipytest.Ask(t, `from statsmodels.stats.proportion import proportion_confint
answer = [proportion_confint(k, n, 0.05, 'beta') for k, n in asked]`, asked, &answer)
	for i, a := range asked {
		low, high := clopperPearson(a[0], a[1])
		assert.InDelta(t, answer[i][0], low, 1e-7*answer[i][0]+1e-12, "%v", a)
		assert.InDelta(t, answer[i][1], high, 1e-7*answer[i][1], "%v", a)
	}
}

func TestOfAndAgainstAgainstSciPy(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 4))
	var asked [][][2]int64
	for range 300 {
		var batches [][2]int64
		for range Batches {
			frames := 1000 + random.Int64N(10)
			batches = append(batches, [2]int64{random.Int64N(300), frames})
		}
		asked = append(asked, batches)
	}
	var answer [][4]float64
	scipytest.Ask(t, `import numpy as np
from scipy.stats import beta, norm, t
answer = []
for batches in asked:
    b = np.array(batches, float)
    p, n, s = b[:, 0].sum()/b[:, 1].sum(), b[:, 1].sum(), b[:, 0]/b[:, 1]
    v = max(1, s.var(ddof=1)/12/(p*(1 - p)/n))
    e = n/(v*(t.ppf(.975, 11)/norm.ppf(.975))**2)
    x = np.log((b[:, 0] + .5)/(b[:, 1] + 1))
    z = (x[0] - x[1:].mean())/(x[1:].std(ddof=1)*np.sqrt(1 + 1/11))
    answer.append((p, beta.ppf(.025, p*e, e - p*e + 1), beta.ppf(.975, p*e + 1, e - p*e), t.sf(z, 10)))`, asked, &answer)
	for i, batches := range asked {
		var slots []Slot
		for _, b := range batches {
			slots = append(slots, Slot{b[0], b[1]})
		}
		got, ok := Of(slots, MinBursts)
		assert.True(t, ok)
		assert.InDelta(t, 1e6*answer[i][0], float64(got.PPM), 0.51)
		assert.InDelta(t, 1e6*answer[i][1]-0.5, float64(got.Low), 0.51)
		assert.InDelta(t, 1e6*answer[i][2]+0.5, float64(got.High), 0.51)
		p, ok := Against(slots[0], slots[1:])
		assert.True(t, ok)
		assert.InDelta(t, 1e3*answer[i][3]+0.5, float64(p), 0.51)
	}
}
