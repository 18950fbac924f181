package attitude

import "benchproof.example/monitor/unit"

// Lying is how a phone that lies on a model feels it rest at a moment.
type Lying struct {
	Rest   Rest          // Tenths 0: it does not rest, or not for long enough
	Top    Top           // where the top edge of the phone points
	Rests  []Rest        // that are remembered, lent
	Left   unit.Time     // the rest before was over by then, wire time; 0 for none
	Jitter unit.Duration // by how much more than the quickest sentences others were late
}

// late is how long ago the latest of a rest may be that goes on: sentences come in batches, late.
const late = unit.Second

// Rested is the rest that the model is in at a date, once it has lasted for a second, and when the one before was
// over; nothing where it is in none. How it lies is that of its latest second: hands that put a model down still
// move it a little as a rest begins.
func (t *Tracker) Rested(at unit.Time) (rest Rest, left unit.Time) {
	n := len(t.Rests)
	if !t.Resting || n == 0 || t.Rests[n-1].For() < unit.Second || at.Sub(t.Rests[n-1].ToNS) > late {
		return Rest{}, 0
	}
	rest = t.Rests[n-1]
	var sum Vector
	for i := range t.Lately {
		for k, v := range t.Lately[i].up() {
			sum[k] += v
		}
	}
	rest.Up, rest.Stray = sum.over(int64(len(t.Lately))), 0
	for i := range t.Lately {
		rest.Stray = max(rest.Stray, Between(rest.Up, t.Lately[i].up()))
	}
	if n > 1 {
		left = t.Rests[n-2].ToNS
	}
	return rest, left
}
