package monitor_test

import (
	"fmt"
	"time"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/unit"
)

// stirs is the prompt at which sticks are stirred.
const stirs = "stir/stir"

// dipping puts dips of a weak supply between the steps of hands that stir.
func (d *drilled) dipping(prompt string, steps []operator.Step) []operator.Step {
	if !d.fault.dips || prompt != stirs {
		return steps
	}
	k := &d.craft.soak
	draw := func(from, to int) time.Duration { return time.Duration(between(k.rng, from, to)) * time.Millisecond }
	last := len(steps) - 1
	list := append([]operator.Step{}, steps[:last]...)
	rest := steps[last]
	for range between(k.rng, 2, 4) {
		before, dip := draw(2500, 11000), draw(150, 1200)
		list = append(list, operator.Step{Wait: before, Do: "power main off"}, operator.Step{Wait: dip, Do: "power main on"})
		rest.Wait -= before + dip
	}
	return append(list, rest)
}

// stirredFalsely is what is false about a supply that was seen to hold: hands did not stir
// for as long as that takes.
func (d *drilled) stirredFalsely(claims map[string]*claim.Claim) []string {
	cl := claims["soak/stir"]
	if cl == nil || cl.Verdict != claim.VerdictRight {
		return nil
	}
	w := &scene{truths: d.sim.Truth()}
	for _, span := range d.stirred {
		all := true
		for _, name := range []string{"aileron", "elevator", "rudder"} {
			all = all && w.handsOn(name, span) >= 20*unit.Second
		}
		if all {
			return nil
		}
	}
	return []string{fmt.Sprintf("soak/stir: %s: hands stirred all sticks in none of %v", cl.Sentence, d.stirred)}
}
