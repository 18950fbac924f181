package view

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
)

// NextStep is one thing to do, and the claims that it would settle.
type NextStep struct {
	Do       string          `json:"do"`       // what to do, as a part of a sentence: "put aid to third", "drill failsafe"
	Drill    string          `json:"drill"`    // the drill that it is, "" for none
	Claims   []string        `json:"claims"`   // their IDs
	Settings []claim.Setting `json:"settings"` // the controls that it is done to; none where it is a drill, or names none
	Waits    bool            `json:"waits"`    // nothing is to be done but to go on listening
}

// Next are the steps that would settle claims which can still be seen right, what settles most
// first, in the sheet's order where two settle as many; what only takes time comes last. The
// verdicts are those of the state, all else of the claims is that of the sheet. A claim that
// the wire shows, and that a drill asks for too, stands with both.
func Next(s *state.State, claims claim.Index) []NextStep {
	steps := []NextStep{}
	for i := range s.Claims {
		c := claims[s.Claims[i].ID]
		if c == nil {
			continue
		}
		now := *c
		if now.Verdict = claim.Verdict(s.Claims[i].Verdict); !wanted(&now) {
			continue
		}
		for _, step := range stepsOf(&now) {
			steps = settled(steps, step, now.ID)
		}
	}
	steps = alongWith(steps)
	slices.SortStableFunc(steps, func(a, b NextStep) int {
		if a.Waits != b.Waits {
			return map[bool]int{true: 1, false: -1}[a.Waits]
		}
		return len(b.Claims) - len(a.Claims)
	})
	return steps
}

// stepsOf are what settles a claim: its drill, and what is done to its controls without one.
func stepsOf(c *claim.Claim) (list []NextStep) {
	a := c.Settle
	if a.Drill != "" {
		list = append(list, NextStep{Do: "drill " + a.Drill, Drill: a.Drill})
	}
	switch {
	case a.Do == claim.DoPut || a.Do == claim.DoPutAll:
		list = append(list, NextStep{Do: put(a.Settings), Settings: a.Settings})
	case a.Drill == "" || len(a.Settings) > 0:
		list = append(list, NextStep{Do: a.String(), Settings: a.Settings, Waits: a.Do.Waits()})
	}
	return list
}

// put is how a person reads which switches to put where.
func put(settings []claim.Setting) string {
	parts := make([]string, 0, len(settings))
	for _, s := range settings {
		parts = append(parts, fmt.Sprintf("%s to %s", s.Channel, s.Place))
	}
	return "put " + text.And(parts)
}

// settled enters a claim with a step, which may be there already.
func settled(steps []NextStep, step NextStep, id string) []NextStep {
	i := slices.IndexFunc(steps, func(other NextStep) bool { return other.Do == step.Do })
	if i < 0 {
		step.Settings = append([]claim.Setting{}, step.Settings...)
		i, steps = len(steps), append(steps, step)
	}
	steps[i].Claims = append(steps[i].Claims, id)
	return steps
}

// alongWith puts steps into those that do the same and more: who puts two switches for a mode
// has put each of them.
func alongWith(steps []NextStep) []NextStep {
	list := []NextStep{}
	for i := range steps {
		if slices.ContainsFunc(steps, func(b NextStep) bool { return steps[i].within(&b) }) {
			continue
		}
		whole := steps[i]
		whole.Claims = slices.Clone(whole.Claims)
		for j := range steps {
			if steps[j].within(&whole) {
				whole.Claims = append(whole.Claims, steps[j].Claims...)
			}
		}
		list = append(list, whole)
	}
	return list
}

// within reports that a step puts some of the switches that another one puts.
func (n *NextStep) within(more *NextStep) bool {
	return len(n.Settings) > 0 && len(n.Settings) < len(more.Settings) &&
		!slices.ContainsFunc(n.Settings, func(s claim.Setting) bool { return s.Place == "" || !slices.Contains(more.Settings, s) })
}
