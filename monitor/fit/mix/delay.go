package mix

import (
	"math"

	"benchproof.example/monitor/unit"
)

const (
	delayStep    = 5 * unit.Millisecond
	delaySamples = 347  // are enough to find it; a prime, so that no rhythm goes into it
	delayFinds   = 8.0  // µs: the least that is taken for the spread of the widths
	delayMost    = 50.0 // µs: a row that lies farther off counts as a wrong pulse

	plateauStep  = 3 * unit.Millisecond / 2
	plateauSteps = 9
	plateauHigh  = 1.05 // delays that are worse by less are as good

	// driftsIn is the time in which sticks turn round and a stabiliser drifts little.
	// A wrong delay puts all rows of a stick that goes one way off by the same, as a
	// drift does; only both ways distinguish the two.
	driftsIn = 1_000 * unit.Millisecond
)

// trial is how well a delay does.
type trial struct {
	off float64   // how far rows lie from their fit, squared and added up
	b   []float64 // of the fit; nil: there was none
}

// delay finds how long after the bus the pulses follow: the one at which a sum of
// the channels lies nearest to them. A hint from an earlier fit, -1 for none, saves
// most of the way. Doubt is by how much the coefficients of a fit differ over the
// delays that do about as well: sticks that go round at one rhythm turn a delay into
// a share of another channel.
func (l *Log) delay(list []sample, cols []int, hint unit.Duration) (delay unit.Duration, doubt []float64) {
	s := l.search(list, cols)
	off := func(d unit.Duration) float64 { return s.try(d).off }
	near := 2 * delayStep
	if hint < 0 {
		hint = best(off, 0, longestDelay, delayStep)
		near = 3 * delayStep
	}
	// Frames and pulses that nearly keep step make dips, a frame apart: each is looked at.
	d := best(off, hint-near, hint+near, delayStep/2)
	delay = (plateau(off, d, -plateauStep) + plateau(off, d, plateauStep)) / 2
	return delay, doubtOf(s.try, s.try(d).off+s.slack(d)/2, d, delay, 1+len(cols))
}

// doubtOf compares the fits at delays to both sides of the best one, where they are no more
// off than they may be, with that at the delay that was taken. Between two dips it may be
// worse for a few steps.
func doubtOf(try func(unit.Duration) trial, may float64, best, taken unit.Duration, cols int) []float64 {
	doubt := make([]float64, cols)
	b := try(taken).b
	for _, step := range []unit.Duration{-delayStep, delayStep} {
		worse := 0
		for d := best + step; b != nil && d >= 0 && d <= longestDelay && worse < 4; d += step {
			t := try(d)
			if t.b == nil || t.off > may {
				worse++
				continue
			}
			worse = 0
			for c := range doubt {
				doubt[c] = max(doubt[c], math.Abs(t.b[c]-b[c]))
			}
		}
	}
	return doubt
}

// best is the best of some delays.
func best(off func(unit.Duration) float64, from, to, step unit.Duration) (delay unit.Duration) {
	least := math.Inf(1)
	for d := max(0, from); d <= min(to, longestDelay); d += step {
		if o := off(d); o < least {
			delay, least = d, o
		}
	}
	return delay
}

// plateau is how far from the best delay others are as good: where frames and
// pulses keep step, all those do at which the same frame came last.
func plateau(off func(unit.Duration) float64, from, step unit.Duration) unit.Duration {
	d, least := from, off(from)
	for range plateauSteps {
		if next := d + step; next < 0 || next > longestDelay || off(next) > least*plateauHigh {
			break
		}
		d += step
	}
	return d
}

// join makes one episode of those that begin within a time.
func (t *table) join(within unit.Duration) {
	var ends []int
	began := unit.Time(math.MinInt64 / 2)
	from := 0
	for _, end := range t.ends {
		if t.at[from].Sub(began) >= within {
			began = t.at[from]
			ends = append(ends, end)
		}
		ends[len(ends)-1] = end
		from = end
	}
	t.ends = ends
}
