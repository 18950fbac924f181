package reliability

import (
	"cmp"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/unit"
)

// runs are how many soaks a cell of a simulation has.
func runs(t *testing.T) int {
	text := os.Getenv("BENCHPROOF_SEEDS")
	if text == "" {
		return 1000
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	return 50 * n
}

// least is the smallest share that a simulation of so many runs may show where the true one is
// as given: three standard deviations less.
func least(share float64, runs int) float64 {
	return share - 3*math.Sqrt(share*(1-share)/float64(runs))
}

// whole is how long each simulated soak lasts.
const whole = 24 * hour

// disturbances draw when outages begin in a soak, so many on average, each a second long.
type disturbances func(random *rand.Rand, outages float64) []unit.Duration

// poisson draws instants from one to another, so many on average, by chance.
func poisson(random *rand.Rand, from, to unit.Duration, mean float64) (list []unit.Duration) {
	for at := random.ExpFloat64(); at < mean; at += random.ExpFloat64() {
		list = append(list, from+unit.Duration(float64(to-from)*at/mean))
	}
	return list
}

func even(random *rand.Rand, outages float64) []unit.Duration {
	return poisson(random, 0, whole, outages)
}

// clustered has three within some minutes.
func clustered(random *rand.Rand, outages float64) (list []unit.Duration) {
	for _, at := range poisson(random, 0, whole, outages/3) {
		for range 3 {
			at += unit.Duration(random.ExpFloat64() * float64(unit.Minute))
			list = append(list, at)
		}
	}
	return list
}

// source is one that goes on and off by chance: on for so long and with three outages, both on
// average.
func source(on unit.Duration) disturbances {
	return func(random *rand.Rand, outages float64) (list []unit.Duration) {
		cycle := float64(whole) / (outages / 3)
		at := -10*float64(on) - random.Float64()*cycle
		for at < float64(whole) {
			lasts := random.ExpFloat64()
			end := at + lasts*float64(on)
			list = append(list, poisson(random, unit.Duration(at), unit.Duration(end), 3*lasts)...)
			at = end + random.ExpFloat64()*(cycle-float64(on))
		}
		return list
	}
}

// drifting has three times as many at the end as at the begin.
func drifting(random *rand.Rand, outages float64) (list []unit.Duration) {
	for _, at := range poisson(random, 0, whole, 1.5*outages) {
		if random.Float64() < (0.5+float64(at)/float64(whole))/1.5 {
			list = append(list, at)
		}
	}
	return list
}

// simulated is one soak: its outages, and how many occasions a bound must be told of that
// holds always: the smallest of n's bound over time, just before occasion n+1 and at the end.
func simulated(draw disturbances, gap unit.Duration, random *rand.Rand, outages float64) (o *Outages, smallest float64) {
	list := draw(random, outages)
	list = slices.DeleteFunc(list, func(at unit.Duration) bool { return at < 0 || at >= whole })
	slices.SortFunc(list, cmp.Compare[unit.Duration])
	o, smallest = &Outages{Gap: gap}, math.Inf(1)
	for _, at := range list {
		before := o.Occasions
		o.Add(unit.Time(at), unit.Time(at+unit.Second), at)
		if o.Occasions > before {
			smallest = min(smallest, bounds(before)*float64(whole)/float64(max(at, 1)))
		}
	}
	return o, min(smallest, bounds(o.Occasions))
}

// bounds are those that hold always, found once.
var bounds = func() func(int64) float64 {
	var known []float64
	for n := range int64(90) {
		known = append(known, upperAlways(n))
	}
	return func(n int64) float64 { return known[n] }
}()

// coverage is how often, of so many soaks, the bound at the end and the bound that holds at
// every moment lie over the mean number of occasions; least over many rates.
func coverage(draw disturbances, gap unit.Duration, runs int) (atEnd, always float64) {
	atEnd, always = 1, 1
	for k, outages := range []float64{0.5, 1, 2, 3.2, 5, 10, 20, 30} {
		var mean float64
		const others = 4000
		for run := range others {
			o, _ := simulated(draw, gap, rand.New(rand.NewPCG(uint64(k), uint64(1_000_000+run))), outages)
			mean += float64(o.Occasions) / others
		}
		var end, moments float64
		for run := range runs {
			o, smallest := simulated(draw, gap, rand.New(rand.NewPCG(uint64(k), uint64(run))), outages)
			if upperAtEnd(o.Occasions) >= mean {
				end += 1 / float64(runs)
			}
			if smallest >= mean {
				moments += 1 / float64(runs)
			}
		}
		atEnd, always = min(atEnd, end), min(always, moments)
	}
	return atEnd, always
}

// A bound holds as often as was found elsewhere, by 10,000 soaks a cell, or as is meant where
// that was more (for the source that is on for an hour 0.962 was found; by the one here it is
// 0.948). Where less often than nine times in ten, the sentence names what it holds for, which
// that is not.
func TestCoverage(t *testing.T) {
	n := runs(t)
	for _, c := range []struct {
		name   string
		draw   disturbances
		gap    unit.Duration
		want   float64 // of the bound at the end
		always float64 // of the bound that holds at every moment; 0: not meant for this
	}{
		{"even", even, Gap, 0.95, 0.95},
		{"clustered", clustered, Gap, 0.95, 0.95},
		{"drifting", drifting, Gap, 0.95, 0.9},
		{"a source on for 30 minutes", source(30 * unit.Minute), Gap, 0.95, 0.95},
		{"a source on for 60 minutes", source(60 * unit.Minute), Gap, 0.94, 0.95},
		{"a source on for 120 minutes", source(120 * unit.Minute), Gap, 0.866, 0},
		{"even, long gap", even, LongGap, 0.95, 0.95},
		{"clustered, long gap", clustered, LongGap, 0.95, 0.95},
		{"a source on for 60 minutes, long gap", source(60 * unit.Minute), LongGap, 0.95, 0.95},
		{"a source on for 120 minutes, long gap", source(120 * unit.Minute), LongGap, 0.95, 0.9},
	} {
		atEnd, always := coverage(c.draw, c.gap, n)
		t.Logf("%s: at the end %.3f, at every moment %.3f", c.name, atEnd, always)
		assert.GreaterOrEqual(t, atEnd, least(c.want, n), c.name)
		if c.always > 0 {
			assert.GreaterOrEqual(t, always, least(c.always, n), c.name)
		}
		if c.want < 0.9 {
			o := &Outages{Gap: c.gap}
			assert.Contains(t, o.Sentence(126*hour), "less sure if one cause disturbs for longer than an hour", c.name)
		}
	}
}

// Naive bounds are false, or the simulation shows nothing: each outage counted by itself, and
// the bound at the end looked at all the time.
func TestNaiveBoundsAreFalse(t *testing.T) {
	n := runs(t)
	single, _ := coverage(clustered, unit.Second, n)
	assert.Less(t, single, 0.8, "each outage")
	falseAt := 0.0
	for run := range n {
		random := rand.New(rand.NewPCG(30, uint64(run)))
		counted := int64(0)
		for _, at := range poisson(random, 0, whole, 30) {
			if upperAtEnd(counted)*float64(whole)/float64(max(at, 1)) < 30 {
				falseAt += 1 / float64(n)
				break
			}
			counted++
		}
	}
	assert.InDelta(t, 0.197, falseAt, 3*math.Sqrt(0.197*0.803/float64(n))+0.02, "looked at all the time")
}

// What a goal proves that was declared before, so long without an outage, and that was reached
// after stretches that outages ended, holds as often: each outage ends a stretch, so losses in
// bunches only make the claim less.
func TestCoverageOfAGoal(t *testing.T) {
	n := runs(t)
	for name, draw := range map[string]disturbances{
		"even": even, "clustered": clustered, "a source on for 30 minutes": source(30 * unit.Minute), "a source on for 60 minutes": source(60 * unit.Minute),
	} {
		covers, claims := 1.0, 0
		for k, outages := range []float64{0.5, 1, 2, 3.2, 5, 10, 20} {
			var occasions float64
			for run := range n {
				o, _ := simulated(draw, Gap, rand.New(rand.NewPCG(uint64(k), uint64(2_000_000+run))), outages)
				occasions += float64(o.Occasions) / float64(n)
			}
			for _, quiet := range []unit.Duration{4 * hour, 8 * hour, 12 * hour} {
				falsely := 0
				for run := range n {
					failed, reached := stretches(draw, rand.New(rand.NewPCG(uint64(k), uint64(run))), outages, quiet)
					if reached {
						claims++
					}
					if reached && upperAtGoal(failed)/float64(quiet) < occasions/float64(whole) {
						falsely++
					}
				}
				covers = min(covers, 1-float64(falsely)/float64(n))
			}
		}
		t.Logf("%s: %.3f of %d claims", name, covers, claims)
		assert.GreaterOrEqual(t, covers, least(0.95, n), name)
		assert.Positive(t, claims, name)
	}
}

// stretches counts those that outages ended in a soak until one lasts as long as was declared.
func stretches(draw disturbances, random *rand.Rand, outages float64, quiet unit.Duration) (failed int64, reached bool) {
	list := draw(random, outages)
	list = slices.DeleteFunc(list, func(at unit.Duration) bool { return at < 0 || at >= whole })
	slices.SortFunc(list, cmp.Compare[unit.Duration])
	from := unit.Duration(0)
	for _, at := range append(list, whole) {
		if at-from >= quiet {
			return failed, true
		}
		failed, from = failed+1, at
	}
	return failed, false
}
