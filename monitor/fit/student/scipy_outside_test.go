//go:build outside

package student_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/fit/scipytest"
	"benchproof.example/monitor/fit/student"
)

func TestAgainstSciPy(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	var asked [][3]float64 // probability, value, freedom
	for range 2000 {
		asked = append(asked, [3]float64{0.5001 + 0.4998*random.Float64(), 20 * random.NormFloat64(), 1 + 50*random.Float64()})
	}
	var answer [][2]float64
	scipytest.Ask(t, `from scipy.stats import t
answer = [(t.ppf(p, f), t.sf(v, f)) for p, v, f in asked]`, asked, &answer)
	for i, a := range asked {
		assert.InEpsilon(t, answer[i][0], student.Quantile(a[0], a[2]), 1e-8, "%v", a)
		assert.InEpsilon(t, answer[i][1], student.UpperTail(a[1], a[2]), 1e-8, "%v", a)
	}
}
