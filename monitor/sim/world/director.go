package world

import (
	"math/rand/v2"
	"slices"
	"time"
)

// reactsIn is how long varied hands take, at most, before they do what a step
// says (an assumption).
const reactsIn = int64(150 * time.Millisecond)

// director runs the steps.
type director struct {
	sim   *Sim
	rng   *rand.Rand
	left  []step // in order of time
	hands int64  // when the hands did what they were asked last
}

func newDirector(sim *Sim, rng *rand.Rand) *director {
	d := &director{sim: sim, rng: rng}
	for _, s := range sim.script.steps {
		d.add(s)
	}
	return d
}

// add puts a step after all that are not later. Varied hands react late, and do
// one thing after the other.
func (d *director) add(s step) {
	if d.sim.script.hands.varied && byHand(s.do) {
		s.at = max(s.at+d.rng.Int64N(reactsIn), d.hands)
		d.hands = s.at
	}
	i := len(d.left)
	for i > 0 && d.left[i-1].at > s.at {
		i--
	}
	d.left = slices.Insert(d.left, i, s)
}

func (d *director) due() int64 {
	if len(d.left) == 0 {
		return never
	}
	return within(&d.sim.script, d.left[0].at)
}

func (d *director) act() {
	s := d.left[0]
	d.left = d.left[1:]
	s.do.run(s.at, d.sim)
}
