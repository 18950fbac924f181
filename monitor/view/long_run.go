package view

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/account"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// atRest is what a long run wants of what is on the bench.
const atRest = "Outputs rest: the stabiliser is off, or in a mode in which they do. No phone beside transmitter or receiver: say when one comes " +
	"and goes, benchproof mark \"" + event.PhoneMark + "\" and \"" + event.PhoneAwayMark + "\""

// LongRunBegins is said at the start of a long run: the goal, "" where there is none, under
// what it is done, and what to mind.
func LongRunBegins(sh *sheet.Sheet, goal string) []string {
	first := "a long run"
	if goal != "" {
		first += ", its goal: " + goal
	}
	var said, not []string
	for _, c := range account.ConditionsOf(sh) {
		if c.Is == "" {
			not = append(not, c.What)
		} else {
			said = append(said, c.What+": "+c.Is)
		}
	}
	if len(said) > 0 {
		first += "; declared: " + text.Printable(strings.Join(said, "; "))
	}
	lines := []string{first}
	if len(not) > 0 {
		lines = append(lines, "not declared, and what it proves holds for one of each alone: "+strings.Join(not, ", ")+
			"; the sheet's section soak is for that")
	}
	return append(append(lines, atRest), account.Cautions...)
}

// LongRunEnds is how a long run stands, at the end of a sitting: what it counts, what is
// proven, and what more of it would prove.
func LongRunEnds(s *state.State) []string {
	a := s.Account
	if a == nil {
		return nil
	}
	var lines []string
	for i := range a.Taps {
		t := &a.Taps[i]
		counts := "%s: the long run counts %s of a live link, outages: %s"
		if t.Leads != nil {
			counts = "%s: the long run counts %s of pulses on all outputs, silences: %s"
		}
		lines = append(lines, fmt.Sprintf(counts, t.Name, unit.FormatSpan(t.LiveNS), text.Count(t.Outages)))
	}
	proven := a.Proven
	if len(proven) == 0 {
		proven = []string{"Nothing is proven yet."}
	}
	return slices.Concat(lines, proven, account.More(a, ahead))
}
