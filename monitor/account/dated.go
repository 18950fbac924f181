package account

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// mostSaid is how many of a sort of happening are said with their dates: the latest.
const mostSaid = 5

// dated writes the latest of a list, each by a function, behind how many there were of them.
func dated[T any](list []T, count int64, write func(*T) string) string {
	said := list[max(0, len(list)-mostSaid):]
	parts := []string{}
	for i := range said {
		parts = append(parts, write(&said[i]))
	}
	s := strings.Join(parts, "; ")
	if count > int64(len(said)) {
		s = fmt.Sprintf("the latest %d of %s: %s", len(said), text.Count(count), s)
	}
	return s
}

// Interruptions say when the port of a tap was away, and when the computer's clock was set.
func Interruptions(a *state.Account, date func(unit.Time) string) (lines []string) {
	for i := range a.Taps {
		if away := whenAway(&a.Taps[i], date); away != "" {
			lines = append(lines, away)
		}
	}
	if set := whenSet(a, date); set != "" {
		lines = append(lines, set)
	}
	return lines
}

// whenAway says when the port of a tap was gone, "" where it never was.
func whenAway(t *state.TapAccount, date func(unit.Time) string) string {
	if len(t.Away) == 0 {
		return ""
	}
	return t.Name + ": the port went away: " + dated(t.Away, t.Unplugs, func(p *state.PortAway) string {
		if p.BackNS < 0 {
			return date(p.FromNS) + ", and is not back"
		}
		return date(p.FromNS) + ", back after " + unit.FormatDuration(p.BackNS.Sub(p.FromNS))
	})
}

// breakWords say why nobody listened.
var breakWords = map[string]string{
	"stopped": "the program was stopped", "stalled": "the computer stood still", "unrecorded": "it was not recorded",
}

// breaks says when nobody listened, behind a colon.
func breaks(a *state.Account, date func(unit.Time) string) string {
	if len(a.Breaks) == 0 { // a record of an earlier build
		return ""
	}
	said := dated(a.Breaks, 0, func(b *state.SoakBreak) string {
		return fmt.Sprintf("%s for %s (%s)", date(b.FromNS), unit.FormatSpan(b.ToNS.Sub(b.FromNS)), breakWords[b.Why])
	})
	if len(a.Breaks) > mostSaid {
		return fmt.Sprintf(": the latest %d times: %s", mostSaid, said)
	}
	return ": " + said
}

// whenSet says when the computer's clock was set, "" where it never was.
func whenSet(a *state.Account, date func(unit.Time) string) string {
	if len(a.Clock) == 0 {
		return ""
	}
	return "the computer's clock was set: " + dated(a.Clock, a.ClockSteps, func(c *state.ClockStep) string {
		way := "forward"
		if c.StepNS < 0 {
			way = "back"
		}
		return fmt.Sprintf("%s, %s by %s", date(c.AtNS), way, unit.FormatDuration(unit.Abs(c.StepNS)))
	}) + "; dates here go on by the clock as it was when the session began"
}
