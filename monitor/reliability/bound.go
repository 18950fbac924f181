package reliability

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/mathext"

	"benchproof.example/monitor/unit"
)

// HoursPerOccasion is how many hours there are between occasions on average, at least, 95 %
// sure. It holds at every moment, however often somebody looks and whenever the soak is
// stopped. 0: nothing can be claimed yet, or outages are frequent.
func (o *Outages) HoursPerOccasion(watched unit.Duration) int64 {
	if o.Frequent(watched) {
		return 0
	}
	return wholeHours(watched, upperAlways(o.Occasions))
}

// wholeHours is how many whole hours of those watched come to each of so many occasions.
func wholeHours(watched unit.Duration, occasions float64) int64 {
	return int64(float64(watched) / float64(hour) / occasions)
}

// StillToRun is how long the soak must go on, without a further occasion, until
// HoursPerOccasion has so many hours: whole seconds, rounded up; 0 where it has them.
func (o *Outages) StillToRun(watched unit.Duration, hours int64) unit.Duration {
	whole := max(watched, o.leastWatched())
	if wholeHours(whole, upperAlways(o.Occasions)) < hours {
		whole = max(whole, unit.Duration(float64(hours*int64(hour))*upperAlways(o.Occasions)))
	}
	left := (whole - watched + unit.Second - 1) / unit.Second * unit.Second
	if o.HoursPerOccasion(watched+left) < hours { // for the last bit of a quotient
		left += unit.Second
	}
	return left
}

// QuietGoalHours is the same for a soak that had the goal, declared in advance, of being quiet
// for so long at a stretch, and reached it after so many stretches that an outage ended.
func QuietGoalHours(quiet unit.Duration, failed int64) int64 {
	return wholeHours(quiet, upperAtGoal(failed))
}

// upperAtEnd is the upper bound on the expected number of occasions when n were counted in a
// time fixed in advance (Garwood's; NIST/SEMATECH e-Handbook, 8.4.5.1). No claim is made of it:
// looked at while a soak runs, it is false more often than one time in twenty.
func upperAtEnd(n int64) float64 {
	return mathext.GammaIncRegInv(float64(n)+1, confidence)
}

// upperAtGoal is the upper bound on the expected number of occasions in the quiet stretch.
func upperAtGoal(failed int64) float64 {
	return -math.Log(1 - math.Pow(confidence, 1/float64(failed+1)))
}

// boundsKept are so many bounds, of few occasions, that are worked out once: each picture of a
// bench has some.
const boundsKept = 64

var bounded [boundsKept]struct {
	once sync.Once
	is   float64
}

// upperAlways is the bound on the expected number of occasions, n counted, that holds at
// every moment.
func upperAlways(n int64) float64 {
	if n < 0 || n >= boundsKept {
		return searchUpperAlways(n)
	}
	b := &bounded[n]
	b.once.Do(func() { b.is = searchUpperAlways(n) })
	return b.is
}

// searchUpperAlways searches that bound. How much likelier n occasions are under the rate λ' than under λ, averaged
// over λ'/λ ~ Beta(½, 1), grows to 20 with a probability of a twentieth at most (Ville's
// inequality). It grows with the expected number μ, so one μ has 20, and every larger one is
// refuted.
func searchUpperAlways(n int64) float64 {
	least, most := 0.0, float64(2*upperAtEnd(n))+10
	for {
		middle := (least + most) / 2
		if middle <= least || middle >= most {
			return most
		}
		if logMixture(n, middle) < -math.Log(1-confidence) {
			least = middle
		} else {
			most = middle
		}
	}
}

// logMixture is the logarithm of that average: a·exp(μ)·μ^−(a+n)·γ(a+n, μ) with a = ½.
func logMixture(n int64, expected float64) float64 {
	const a = 0.5
	shape := a + float64(n)
	gamma, _ := math.Lgamma(shape)
	return math.Log(a) + expected - float64(shape*math.Log(expected)) + gamma + math.Log(mathext.GammaIncReg(shape, expected))
}
