package page

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/report/compare"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
)

// summary are to the five questions that a report must answer by itself.
type summary struct {
	Modes    []string
	Signal   []string
	Unproven []string
	Changed  []string
}

func newSummary(p *page, s *sheet.Sheet) summary {
	return summary{Modes: modesAnswer(p), Signal: signalAnswer(p, s), Unproven: unprovenAnswer(p), Changed: changed(p.Since, brief)}
}

func modesAnswer(p *page) (list []string) {
	for _, a := range p.Asked {
		words := strings.Join(a.Positions, ", ") + ": " + a.AskedFor
		switch {
		case !a.Seen:
			words += " by the sheet, not seen"
		case a.Word == string(claim.VerdictWrong):
			words += ", SEEN WRONG: the sheet wants " + text.ModeName(a.Wanted)
		default:
			words += ", " + a.Word
		}
		if a.Seen && a.MarginBy == string(claim.VerdictWrong) {
			words += fmt.Sprintf(", but only %s inside its window", a.Inside)
		}
		list = append(list, words)
	}
	if len(list) == 0 {
		list = []string{"The sheet has no switch positions that choose a mode."}
	}
	return list
}

// signalAnswer says what the losses showed, the motor first.
func signalAnswer(p *page, s *sheet.Sheet) (list []string) {
	for _, n := range s.ThrottleChannels() {
		c, _ := s.Channel(n)
		for _, f := range p.Failsafe {
			if f.ID == claim.FamilyFailsafe.ID(c.Name) {
				list = append(list, verdictOf(&f.Claim)+": "+f.Sentence+".")
			}
		}
	}
	list = append(list, lossAnswers(p)...)
	count := map[string]int{}
	for _, f := range p.Failsafe {
		count[f.Verdict]++
		if f.Verdict == string(claim.VerdictWrong) && !f.Cut && (len(p.Losses) == 0 || f.family != claim.FamilyFailsafe) { // else the loss reports it
			list = append(list, verdictOf(&f.Claim)+": "+f.Sentence+".")
		}
		if len(p.Losses) == 0 && f.ID == claim.FamilyFailsafe.ID("time") {
			list = append(list, verdictOf(&f.Claim)+": "+f.Sentence+".")
		}
	}
	if len(p.Failsafe) == 0 {
		return append(list, "The sheet says nothing about failsafe, so nothing was judged.")
	}
	return append(list, fmt.Sprintf("Of %d claims on failsafe %s.", len(p.Failsafe), counted(count)))
}

// lossAnswers reports a loss that went like the one before in a line.
func lossAnswers(p *page) (list []string) {
	for i, l := range p.Losses {
		if i > 0 && alike(&p.Record.Losses[i-1], &p.Record.Losses[i]) {
			same := "as the sheet wants"
			if len(wrongOf(&p.Record.Losses[i])) > 0 {
				same = "and the same was wrong"
			}
			list = append(list, fmt.Sprintf("Loss %d, at %s: the receiver did the same once more, %s.", l.Number, l.When, same))
			continue
		}
		list = append(list, fmt.Sprintf("Loss %d: %s", l.Number, l.Answer))
	}
	return list
}

func counted(count map[string]int) string {
	var parts []string
	for _, v := range []claim.Verdict{claim.VerdictRight, claim.VerdictWrong, claim.VerdictOpen, claim.VerdictStale} {
		if n := count[string(v)]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, v))
		}
	}
	return strings.Join(parts, ", ")
}

// verdictOf is a verdict as a reader finds it in black and white.
func verdictOf(c *record.Claim) string { return strings.ToUpper(c.Verdict) }

func unprovenAnswer(p *page) (list []string) {
	for _, u := range p.Unseen {
		list = append(list, u.Text)
	}
	return list
}

// changed introduces what one of the two ways to report it says of a comparison.
func changed(c *compare.Comparison, tell func(*compare.Comparison) []string) []string {
	if c == nil {
		return []string{"Nothing to compare with: no earlier session of this model lies beside this one."}
	}
	list := []string{fmt.Sprintf("Compared with the session of %s (folder %s):", FormatDate(c.Then.Begun), filepath.Base(c.Then.Folder))}
	return append(list, tell(c)...)
}

// brief is a comparison without the sentences of its claims.
func brief(c *compare.Comparison) (list []string) {
	for _, v := range []claim.Verdict{claim.VerdictWrong, claim.VerdictStale, claim.VerdictOpen} {
		var ids []string
		for _, l := range c.Lost {
			if l.Is == string(v) {
				ids = append(ids, l.Claim)
			}
		}
		if len(ids) > 0 {
			list = append(list, fmt.Sprintf("Seen right then, %s now: %s.", strings.ToUpper(string(v)), strings.Join(ids, ", ")))
		}
	}
	rest := *c
	rest.Lost = nil
	if len(list) > 0 && rest.Same() {
		return list
	}
	return append(list, Differences(&rest)...)
}

// Differences is a comparison in sentences, one of them where there are none.
func Differences(c *compare.Comparison) (list []string) {
	if c.Same() {
		return []string{"Nothing moved by more than chance explains, no verdict and no value of the sheet changed."}
	}
	for _, l := range c.Lost {
		list = append(list, fmt.Sprintf("Was seen right and is %s now: %s: %s%s", strings.ToUpper(l.Is), l.Claim, l.Now, because(l.Because, l.Claim)))
	}
	for _, m := range c.Moved {
		list = append(list, fmt.Sprintf("Moved: %s: %s%s", m.Claim, m.Text, because(m.Because, m.Claim)))
	}
	for _, l := range c.Losses {
		list = append(list, fmt.Sprintf("Without a signal, %s: then %s; now %s", l.Claim, l.Was, l.Is))
	}
	for _, g := range c.Gained {
		list = append(list, fmt.Sprintf("Was %s and is seen right now: %s", g.Was, g.Claim))
	}
	for _, o := range c.Other {
		list = append(list, fmt.Sprintf("Was %s and is %s now: %s", o.Was, strings.ToUpper(o.Is), o.Claim))
	}
	if len(c.Came) > 0 {
		list = append(list, "Claims that the earlier session did not have: "+strings.Join(c.Came, ", "))
	}
	if len(c.Gone) > 0 {
		list = append(list, "Claims that only the earlier session had: "+strings.Join(c.Gone, ", "))
	}
	for _, e := range c.Sheet {
		list = append(list, fmt.Sprintf("The sheet: %s was %s, is %s", e.Path, orNothing(e.Then), orNothing(e.Now)))
	}
	return list
}

func because(list []compare.Moved, id string) string {
	var parts []string
	for _, m := range list {
		if m.Claim == id {
			parts = append(parts, m.Text)
		} else {
			parts = append(parts, m.Claim+": "+m.Text)
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return " (" + strings.Join(parts, "; ") + ")"
}

func orNothing(s string) string {
	if s == "" {
		return "not there"
	}
	return s
}

// FormatDate is a wall-clock time as reports have it.
func FormatDate(t time.Time) string { return t.UTC().Format("2 January 2006, 15:04 UTC") }

// leftOut says what the digest of the timeline leaves out.
func leftOut(left map[string]int64) string {
	var parts []string
	for _, kind := range slices.Sorted(maps.Keys(left)) {
		parts = append(parts, fmt.Sprintf("%s %d", kind, left[kind]))
	}
	return strings.Join(parts, ", ")
}
