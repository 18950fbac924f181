package view

import (
	"fmt"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// soakParts say how a long run stands that the sheet or a goal declares: for how long the
// link was live, what is left until the goal, what is borne out, and what comes next; none
// where there is no such run.
func soakParts(s *state.State, sh *sheet.Sheet) (parts []statusPart) {
	if sh.Soak == nil && (s.Account == nil || s.Account.Goal == nil) || s.Account == nil || len(s.Account.Taps) == 0 {
		return nil
	}
	t := &s.Account.Taps[0]
	add := func(text string, g Grade) {
		parts = append(parts, statusPart{part: state.PartSoak, text: text, grade: g})
	}
	add("soak "+unit.FormatSpan(t.LiveNS), Plain)
	switch {
	case t.GoneSinceNS >= 0 && t.Leads != nil:
		add("OUTPUT SILENT", Trouble)
		return parts
	case t.GoneSinceNS >= 0:
		add("SIGNAL GONE", Trouble)
		return parts
	}
	if g := s.Account.Goal; g != nil {
		add(goalStands(g), Plain)
	}
	if t.OneInHours > 0 {
		add(fmt.Sprintf("at most 1 in %d h", t.OneInHours), Plain)
	}
	if t.NextHours > 0 {
		add(fmt.Sprintf("%s more for 1 in %d h", unit.FormatSpan(t.NextNS), t.NextHours), Plain)
	}
	return parts
}

// goalStands is what is left until the goal.
func goalStands(g *state.SoakGoal) string {
	if g.ReachedNS >= 0 {
		return "goal REACHED"
	}
	return "goal in " + unit.FormatSpan(max(0, g.QuietNS-g.SoFarNS)+unit.Second-1)
}
