package view

import (
	"fmt"

	"benchproof.example/monitor/account"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// soakPart says how a long run stands that the sheet declares: for how long the link was
// live, what that bears out, and what comes next; nothing where there is none.
func soakPart(s *state.State, sh *sheet.Sheet) (statusPart, bool) {
	if sh.Soak == nil && (s.Account == nil || s.Account.Goal == nil) || s.Account == nil || len(s.Account.Taps) == 0 {
		return statusPart{}, false
	}
	t := &s.Account.Taps[0]
	part := statusPart{text: "soak " + account.Span(t.LiveNS), grade: Plain}
	if t.GoneSinceNS >= 0 {
		return statusPart{text: part.text + ", SIGNAL GONE", grade: Trouble}, true
	}
	if t.OneInHours > 0 {
		part.text += fmt.Sprintf(", at most 1 in %d h", t.OneInHours)
	}
	if t.NextHours > 0 {
		part.text += fmt.Sprintf(", 1 in %d h after %s more", t.NextHours, account.Span(t.NextNS))
	}
	if g := s.Account.Goal; g != nil && g.ReachedNS < 0 {
		part.text += fmt.Sprintf(", goal in %s", account.Span(max(0, g.QuietNS-g.SoFarNS)+unit.Second-1))
	}
	return part, true
}
