package reliability

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/mathext"

	"benchproof.example/monitor/unit"
)

// C: found by programs in Python. PUB: published; the source stands beside it. MEM: from memory.

// C, the upper bound of Garwood; the NIST/SEMATECH e-Handbook, 8.4.5.1, has its formula.
func TestUpperAtEnd(t *testing.T) {
	for n, want := range []float64{2.995732, 4.743865, 6.295794, 7.753657, 9.153519, 10.513035, 11.842396, 13.148114, 14.434650, 15.705216, 16.962219} {
		assert.InDelta(t, want, upperAtEnd(int64(n)), 1e-6, "%d", n)
	}
}

// C.
func TestUpperAlways(t *testing.T) {
	for n, want := range []float64{3.788419, 6.657228, 8.861925, 10.828435, 12.661232, 14.405262, 16.084754, 17.714551, 19.304526, 20.861647, 22.391049} {
		assert.InDelta(t, want, upperAlways(int64(n)), 1e-6, "%d", n)
	}
}

// C.
func TestUpperAtGoal(t *testing.T) {
	for failed, want := range []float64{2.995732, 3.676138, 4.077344, 4.362894, 4.584758} {
		assert.InDelta(t, want, upperAtGoal(int64(failed)), 1e-6, "%d", failed)
	}
}

// C.
func TestSmallestGap(t *testing.T) {
	assert.InDelta(t, 0.00554784, smallestGap(2, 2.0/720), 1e-8)
	assert.InDelta(t, 0.04109064, smallestGap(3, 5.0/720), 1e-8)
}

// C: by simulation, ±0.01 in the statistic.
func TestMoranTail(t *testing.T) {
	for n, upper := range map[int]float64{2: 6.852, 3: 10.138, 4: 13.585, 5: 17.210, 10: 36.972, 20: 82.039} {
		assert.Greater(t, moranTail(upper-0.03, n), 0.05, "%d", n)
		assert.Less(t, moranTail(upper+0.03, n), 0.05, "%d", n)
	}
}

// C: by simulation; ours has an error of 0.005.
func TestGreenwoodTail(t *testing.T) {
	for n, lower := range map[int]float64{5: 0.1993, 10: 0.1211, 20: 0.0698} {
		assert.InDelta(t, 0.05, greenwoodTail(lower, n), 0.015, "%d", n)
	}
}

// PUB: the example of the NIST/SEMATECH e-Handbook, 8.2.3.4: ten repairs of a system in 1500
// hours. Twice the sum is that of its chi-squared test for trend.
func TestTheHandbooksExample(t *testing.T) {
	var starts []unit.Duration
	for _, hours := range []int64{5, 40, 43, 175, 389, 712, 747, 795, 1299, 1478} {
		starts = append(starts, unit.Duration(hours)*hour)
	}
	spacings := spacingsOf(starts, 1500*hour)
	assert.InDelta(t, -1.326949, laplace(spacings), 1e-6)
	assert.InDelta(t, 36.228042, moran(spacings), 1e-6)
	assert.Equal(t, NoneSeen, of(starts...).Pattern(1500*hour), "the two-sided tests of trend see one at 90 %, not at 95 %")
}

// What the bounds rest on says what others published, also where none of them needs it.
func TestTheInverseOfTheIncompleteGammaFunction(t *testing.T) {
	assert.InDelta(t, 0.3177, 2/mathext.GammaIncRegInv(3, 0.95), 1e-4, "MEM: the handbook's table of 90 %% factors, two failures")
	assert.InDelta(t, 5.6281, 2/mathext.GammaIncRegInv(2, 0.05), 1e-4, "MEM: the same")
	assert.InDelta(t, 16.178682, mathext.GammaIncRegInv(25, 0.025), 1e-6, "PUB: 16.18 in manuals, for 25 counted")
	assert.InDelta(t, 36.904932, mathext.GammaIncRegInv(26, 0.975), 1e-6, "PUB: 36.90 in manuals, for 25 counted")
}
