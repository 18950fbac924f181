package reliability

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mathext"

	"benchproof.example/monitor/unit"
)

// Pattern is how outages lie in the time watched, as far as their number can show it.
type Pattern int

// Patterns. That a rate is constant is none: a doubling takes some 210 outages to be seen.
const (
	TooFew        Pattern = iota // none, or one
	TwoApart                     // two, which show no trend
	TwoClose                     // two, closer together than chance would have them
	NoneSeen                     // three or more
	Bunches                      // closer together, in places, than chance would have them
	NotSteady                    // early or late in the soak
	Regular                      // more evenly spaced than by chance
	TooManyToTell                // more than are kept one by one
)

const (
	// chance is how probable what counts as a pattern is where there is none.
	chance = 0.05 / 3
	// steadiest is the largest Laplace statistic of outages that count as steady.
	steadiest = 1.96
	// fewForTrend is from how many outages on they are asked whether they are regular or steady.
	fewForTrend = 5
	// leastSpacing is that of two outages: what lies closer is one moment.
	leastSpacing = unit.Second
)

// Pattern is that of the outages, each taken singly, in the time watched. It takes some
// milliseconds where there are hundreds.
func (o *Outages) Pattern(watched unit.Duration) Pattern {
	switch {
	case o.N < 2:
		return TooFew
	case o.N > int64(len(o.Starts)):
		return TooManyToTell
	}
	spacings := spacingsOf(o.Starts, watched)
	switch n := len(o.Starts); {
	case n == 2 && smallestGap(n, spacings[1]) < chance:
		return TwoClose
	case n == 2:
		return TwoApart
	case moranTail(moran(spacings), n) < chance:
		return Bunches
	case n < fewForTrend:
		return NoneSeen
	case math.Abs(laplace(spacings)) > steadiest:
		return NotSteady
	case greenwoodTail(greenwood(spacings), n) < chance:
		return Regular
	}
	return NoneSeen
}

// spacingsOf are the shares of the time watched before the first outage, between each and the
// next, and after the last. They come to one.
func spacingsOf(starts []unit.Duration, watched unit.Duration) []float64 {
	var last unit.Duration
	var spacings []float64
	var sum float64
	for _, at := range append(slices.Sorted(slices.Values(starts)), watched) {
		spacing := float64(max(at-last, leastSpacing))
		spacings, sum, last = append(spacings, spacing), sum+spacing, at
	}
	for i := range spacings {
		spacings[i] /= sum
	}
	return spacings
}

// smallestGap is the probability that the smallest gap between n outages by chance is as
// small a share of the time as this.
func smallestGap(n int, gap float64) float64 {
	return 1 - math.Pow(max(0, 1-float64(float64(n-1)*gap)), float64(n))
}

// moran is Moran's statistic, large where spacings are very unlike.
func moran(spacings []float64) (sum float64) {
	for _, s := range spacings {
		sum -= math.Log(s)
	}
	return sum
}

// moranTail is the probability that Moran's statistic of n outages by chance exceeds a value:
// a chi-squared with n degrees of freedom, shifted and stretched to the statistic's mean and
// variance (Cheng and Stephens, Biometrika 76, 1989).
func moranTail(value float64, n int) float64 {
	const euler = 0.57721566490153286
	m, freedom := float64(n+1), float64(n)
	mean := float64(m*(math.Log(m)+euler)) - 0.5 - 1/(12*m)
	variance := float64(m*(math.Pi*math.Pi/6-1)) - 0.5 - 1/(6*m)
	stretch := math.Sqrt(variance / (2 * freedom))
	chiSquared := freedom + (value-mean)/stretch
	return mathext.GammaIncRegComp(freedom/2, max(0, chiSquared)/2)
}

// greenwood is Greenwood's statistic, small where spacings are alike.
func greenwood(spacings []float64) (sum float64) {
	for _, s := range spacings {
		sum += float64(s * s)
	}
	return sum
}

// greenwoodTail is the probability that Greenwood's statistic of n outages by chance is under a
// value, by drawing: no formula for it is near enough.
func greenwoodTail(value float64, n int) float64 {
	const draws = 1999
	random := rand.New(rand.NewPCG(1947, uint64(n)))
	under := 1
	for range draws {
		var sum, squares float64
		for range n + 1 {
			s := random.ExpFloat64()
			sum, squares = sum+s, squares+float64(s*s)
		}
		if squares <= float64(value*sum*sum) {
			under++
		}
	}
	return float64(under) / (1 + draws)
}

// laplace is Laplace's statistic: how far the mean of the times lies from the middle, in
// standard deviations; positive where outages are late in the soak.
func laplace(spacings []float64) float64 {
	n := float64(len(spacings) - 1)
	var at, sum float64
	for _, s := range spacings[:len(spacings)-1] {
		at += s
		sum += at
	}
	return float64((sum/n - 0.5) * math.Sqrt(12*n))
}
