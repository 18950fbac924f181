//go:build outside

package reliability

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/fit/scipytest"
	"benchproof.example/monitor/unit"
)

// The bound that holds always, there, is a root of the mixture as it is defined, by quadrature.
func TestBoundsAgainstSciPy(t *testing.T) {
	asked := []int64{0, 1, 2, 3, 4, 5, 7, 10, 15, 20, 30, 50, 80, 120, 200}
	var answer [][3]float64
	scipytest.Ask(t, `import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.stats import chi2
def mixture(n, mu): # its logarithm, with x = y² so that what is integrated is smooth
    def log(y): return mu*(1 - y*y) + (2*n*np.log(y) if n and y > 0 else 0 if not n else -np.inf)
    top = log(min(1, np.sqrt(n/mu)))
    return top + np.log(quad(lambda y: np.exp(log(y) - top), 0, 1, epsabs=0, epsrel=1e-11, limit=500)[0])
answer = []
for n in asked:
    end = chi2.ppf(.95, 2*n + 2)/2
    always = brentq(lambda mu: mixture(n, mu) - np.log(20), end, 2*end + 10, xtol=1e-10)
    answer.append((end, always, -np.log1p(-.95**(1/(n + 1)))))`, asked, &answer)
	for i, n := range asked {
		assert.InEpsilon(t, answer[i][0], upperAtEnd(n), 1e-9, "%d", n)
		assert.InEpsilon(t, answer[i][1], upperAlways(n), 1e-8, "%d", n)
		assert.InEpsilon(t, answer[i][2], upperAtGoal(n), 1e-9, "%d", n)
	}
}

// What chance gives one time in sixty is, by NumPy's own drawing, what counts as that here.
func TestPatternsAgainstNumPy(t *testing.T) {
	var answer map[int][3]float64
	scipytest.Ask(t, `import numpy as np
random = np.random.default_rng(1)
answer = {}
for n in (2, 3, 5, 8, 20, 100):
    s = random.exponential(size=(50000, n + 1))
    s /= s.sum(1, keepdims=True)
    answer[n] = (np.quantile(s[:, 1:-1].min(1), .05/3), np.quantile(-np.log(s).sum(1), 1 - .05/3), np.quantile((s*s).sum(1), .05/3))`, nil, &answer)
	for n, quantiles := range answer {
		assert.InDelta(t, chance, smallestGap(n, quantiles[0]), 0.0025, "%d", n)
		assert.InDelta(t, chance, moranTail(quantiles[1], n), 0.0035, "%d", n)
		assert.InDelta(t, chance, greenwoodTail(quantiles[2], n), 0.01, "%d", n)
	}
}

func TestStatisticsAgainstNumPy(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 1))
	var asked [][]unit.Duration
	for range 200 {
		var starts []unit.Duration
		for range 3 + random.IntN(100) {
			starts = append(starts, unit.Duration(random.Int64N(int64(1000*hour))))
		}
		asked = append(asked, starts)
	}
	var answer [][3]float64
	scipytest.Ask(t, `import numpy as np
answer = []
for starts in asked:
    t = np.sort(starts)/3.6e15
    s = np.maximum(np.diff(np.concatenate(([0], t, [1]))), 1/3.6e6)
    answer.append((-np.log(s).sum(), (s*s).sum(), (t.mean() - .5)*np.sqrt(12*len(t))))`, asked, &answer)
	for i, starts := range asked {
		spacings := spacingsOf(starts, 1000*hour)
		assert.InEpsilon(t, answer[i][0], moran(spacings), 1e-6)
		assert.InEpsilon(t, answer[i][1], greenwood(spacings), 1e-6)
		assert.InDelta(t, answer[i][2], laplace(spacings), 1e-5)
	}
}
