// Package student has Student's t distribution, for degrees of freedom that need not be
// whole. It stands on the incomplete beta function of gonum; gonum's own distributions bring
// linear algebra along, 2 MB of it.
package student

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// Quantile is what t does not exceed with the given probability, over a half and under 1.
func Quantile(probability, freedom float64) float64 {
	x := mathext.InvRegIncBeta(freedom/2, 0.5, 2*(1-probability))
	return math.Sqrt(freedom * (1 - x) / x)
}

// UpperTail is the probability that t exceeds a value.
func UpperTail(value, freedom float64) float64 {
	tail := mathext.RegIncBeta(freedom/2, 0.5, freedom/(freedom+float64(value*value))) / 2
	if value < 0 {
		return 1 - tail
	}
	return tail
}
