package world

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"time"
)

// Step is one timed line.
type Step struct {
	At int64
	Do Action
}

// Latest is the time by which a plan must have ended.
const Latest = 8760 * time.Hour

// Do puts an action at a moment, ns since the start, after those that stand there
// already. So a harness can follow prompts. The moment must not lie before what
// was simulated, see Now. With varied hands the action comes as late after it as
// such hands react.
//
// The error says that the moment is past, or after the end. After an error nothing
// has changed.
func (s *Sim) Do(at int64, do Action) error {
	if err := s.open(at); err != nil {
		return err
	}
	s.director.add(Step{At: at, Do: do})
	return nil
}

// EndAt has the plan end at a moment. The error is as that of Do.
func (s *Sim) EndAt(at int64) error {
	if err := s.open(at); err != nil {
		return err
	}
	s.plan.Length = at
	return nil
}

// open refuses a moment at which nothing can be done any more.
func (s *Sim) open(at int64) error {
	switch when := time.Duration(at); {
	case at < s.now:
		return fmt.Errorf("all before %v is simulated, want a time from there on", time.Duration(s.now))
	case at > s.plan.Length:
		return fmt.Errorf("the script ends at %v, want a time up to there", time.Duration(s.plan.Length))
	case when > Latest:
		return fmt.Errorf("want a time up to %v", Latest)
	}
	return nil
}

// reactsIn is how long varied hands take, at most, before they do what a step
// says (an assumption).
const reactsIn = int64(150 * time.Millisecond)

// director runs the steps.
type director struct {
	sim   *Sim
	rng   *rand.Rand
	left  []Step // in order of time
	hands int64  // when the hands did what they were asked last
}

func newDirector(sim *Sim, rng *rand.Rand) *director {
	d := &director{sim: sim, rng: rng}
	for _, s := range sim.plan.Steps {
		d.add(s)
	}
	return d
}

// add puts a step after all that are not later. Varied hands react late, and do
// one thing after the other.
func (d *director) add(s Step) {
	if d.sim.plan.Hands.Varied && byHand(s.Do) {
		s.At = max(s.At+d.rng.Int64N(reactsIn), d.hands)
		d.hands = s.At
	}
	i := len(d.left)
	for i > 0 && d.left[i-1].At > s.At {
		i--
	}
	d.left = slices.Insert(d.left, i, s)
}

func (d *director) due() int64 {
	if len(d.left) == 0 {
		return Never
	}
	return within(&d.sim.plan, d.left[0].At)
}

func (d *director) act() {
	s := d.left[0]
	d.left = d.left[1:]
	s.Do.run(s.At, d.sim)
}
