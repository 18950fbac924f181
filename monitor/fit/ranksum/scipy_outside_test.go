//go:build outside

package ranksum

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/fit/scipytest"
)

func TestAgainstSciPy(t *testing.T) {
	var asked [][2][]int64
	for seed := range uint64(8) {
		random := rand.New(rand.NewPCG(6, seed))
		a := mark(random, 10+2*random.IntN(40), 0.02*(1+random.Float64()), 5)
		b := mark(random, 10+2*random.IntN(40), 0.02, 5)
		asked = append(asked, [2][]int64{a, b})
	}
	var answer []struct {
		Ranks []float64
		P     float64
	}
	scipytest.Ask(t, `import numpy as np
from scipy.stats import rankdata, permutation_test
answer = []
for a, b in asked:
    r = rankdata(a + b)
    p = permutation_test((r[:len(a)], r[len(a):]), lambda x, y, axis: x.sum(axis), vectorized=True,
        n_resamples=2000, alternative='greater', random_state=1).pvalue
    answer.append({'Ranks': r.tolist(), 'P': p})`, asked, &answer)
	for i, a := range asked {
		ranks := doubledMidranks(append(append([]int64{}, a[0]...), a[1]...))
		for j, r := range ranks {
			assert.Equal(t, 2*answer[i].Ranks[j], float64(r))
		}
		p := answer[i].P
		assert.InDelta(t, p, float64(More(a[0], a[1]))/1000, 0.002+4*math.Sqrt(p*(1-p)*(1.0/999+1.0/2000)))
	}
}

// Holm's procedure is statsmodels'.
func TestHolmAgainstStatsmodels(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 1))
	var asked [][]int64
	for range 500 {
		var marks []int64
		for range 1 + random.IntN(10) {
			marks = append(marks, 1+int64(math.Pow(random.Float64(), 4)*999))
		}
		asked = append(asked, marks)
	}
	var answer [][]bool
	scipytest.Ask(t, `from statsmodels.stats.multitest import multipletests
answer = [multipletests([p/1000 for p in marks], 0.05 + 1e-12, 'holm')[0].tolist() for marks in asked]`, asked, &answer)
	for i, marks := range asked {
		assert.Equal(t, answer[i], Holm(marks), "%v", marks)
	}
}
