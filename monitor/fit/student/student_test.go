package student_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/fit/student"
	"gonum.org/v1/gonum/stat/distuv"
)

// gonum's own distribution, which stands on the same function, says the same; known values
// come from elsewhere.
func TestAgainstGonum(t *testing.T) {
	for _, freedom := range []float64{1, 2, 2.5, 5.637003, 11, 34, 1000} {
		known := distuv.StudentsT{Sigma: 1, Nu: freedom}
		for _, p := range []float64{0.6, 0.95, 0.975, 0.999} {
			assert.InEpsilon(t, known.Quantile(p), student.Quantile(p, freedom), 1e-9, "%g, %g", p, freedom)
		}
		for _, value := range []float64{-5, -0.3, 0, 0.3, 1, 12.7} {
			assert.InEpsilon(t, known.Survival(value), student.UpperTail(value, freedom), 1e-9, "%g, %g", value, freedom)
		}
	}
}

// With one degree of freedom it is Cauchy's distribution, with two there is a formula.
func TestAgainstFormulas(t *testing.T) {
	for _, p := range []float64{0.6, 0.9, 0.975, 0.9999} {
		assert.InEpsilon(t, math.Tan(math.Pi*(p-0.5)), student.Quantile(p, 1), 1e-9)
		assert.InEpsilon(t, (2*p-1)/math.Sqrt(2*p*(1-p)), student.Quantile(p, 2), 1e-9)
	}
	assert.InEpsilon(t, 0.5-math.Atan(2)/math.Pi, student.UpperTail(2, 1), 1e-9)
	assert.InEpsilon(t, 0.5+math.Atan(2)/math.Pi, student.UpperTail(-2, 1), 1e-9)
}
