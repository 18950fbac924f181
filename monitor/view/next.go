package view

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
)

// Next are the steps that would settle claims which can still be seen right, what settles most
// first, in the sheet's order where two settle as many; what only takes time comes last, and so
// does what is done now. Before all comes what brings back a tap that is not live. The
// verdicts are those of the state, all else of the claims is that of the sheet. A claim that
// the wire shows, and that a drill asks for too, stands with both.
func Next(s *state.State, claims claim.Index) []state.Next {
	steps := []state.Next{}
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
	for i := range steps {
		if done(&steps[i], s) {
			steps[i].Do, steps[i].Waits = "leave "+places(steps[i].Settings)+" for a moment: it is looked at", true
		}
	}
	slices.SortStableFunc(steps, func(a, b state.Next) int {
		if a.Waits != b.Waits {
			return map[bool]int{true: 1, false: -1}[a.Waits]
		}
		return len(b.Claims) - len(a.Claims)
	})
	return append(hearFirst(s), steps...)
}

// stepsOf are what settles a claim: its drill, and what is done to its controls without one.
func stepsOf(c *claim.Claim) (list []state.Next) {
	a, settings := c.Settle, []state.Setting{}
	for _, s := range c.Settle.Settings {
		settings = append(settings, state.Setting{Channel: s.Channel, Place: s.Place})
	}
	if a.Drill != "" {
		list = append(list, state.Next{Do: "drill " + a.Drill, Drill: a.Drill, Settings: []state.Setting{}})
	}
	switch {
	case a.Do == claim.DoPut || a.Do == claim.DoPutAll:
		list = append(list, state.Next{Do: put(settings), Settings: settings})
	case a.Drill == "" || len(settings) > 0:
		list = append(list, state.Next{Do: a.String(), Settings: settings, Waits: a.Do.Waits()})
	}
	return list
}

// put is how a person reads which switches to put where.
func put(settings []state.Setting) string {
	parts := make([]string, 0, len(settings))
	for _, s := range settings {
		parts = append(parts, fmt.Sprintf("%s to %s", s.Channel, s.Place))
	}
	return "put " + text.And(parts)
}

// places is how a person reads where switches stand.
func places(settings []state.Setting) string {
	parts := make([]string, 0, len(settings))
	for _, s := range settings {
		parts = append(parts, fmt.Sprintf("%s at %s", s.Channel, s.Place))
	}
	return text.And(parts)
}

// done reports that all that a step puts somewhere stands there now, on a bus that is live.
func done(n *state.Next, s *state.State) bool {
	return len(n.Settings) > 0 && !slices.ContainsFunc(n.Settings, func(want state.Setting) bool {
		return want.Place == "" || !stands(want, s)
	})
}

func stands(want state.Setting, s *state.State) bool {
	for i := range s.Taps {
		if t := &s.Taps[i]; t.Condition() == state.ConditionLive && slices.ContainsFunc(t.Channels, func(c state.Channel) bool {
			return c.Name == want.Channel && c.Place == want.Place
		}) {
			return true
		}
	}
	return false
}

// settled enters a claim with a step, which may be there already.
func settled(steps []state.Next, step state.Next, id string) []state.Next {
	i := slices.IndexFunc(steps, func(other state.Next) bool { return other.Do == step.Do })
	if i < 0 {
		i, steps = len(steps), append(steps, step)
	}
	steps[i].Claims = append(steps[i].Claims, id)
	return steps
}

// alongWith puts steps into those that do the same and more: who puts two switches for a mode
// has put each of them.
func alongWith(steps []state.Next) []state.Next {
	list := []state.Next{}
	for i := range steps {
		if slices.ContainsFunc(steps, func(b state.Next) bool { return within(&steps[i], &b) }) {
			continue
		}
		whole := steps[i]
		whole.Claims = slices.Clone(whole.Claims)
		for j := range steps {
			if within(&steps[j], &whole) {
				whole.Claims = append(whole.Claims, steps[j].Claims...)
			}
		}
		list = append(list, whole)
	}
	return list
}

// within reports that a step puts some of the switches that another one puts.
func within(n, more *state.Next) bool {
	return len(n.Settings) > 0 && len(n.Settings) < len(more.Settings) &&
		!slices.ContainsFunc(n.Settings, func(s state.Setting) bool { return s.Place == "" || !slices.Contains(more.Settings, s) })
}
