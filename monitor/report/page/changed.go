package page

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/report/compare"
)

// noEarlier is printed where there is nothing to compare with.
const noEarlier = "Nothing to compare with: no earlier session of this model lies beside this one."

// allPassedOver is printed where there are such, and none of them can be compared.
const allPassedOver = "Nothing to compare with: each earlier session of this model beside this one was passed over."

// nothingDiffers is printed where two sessions are the same.
const nothingDiffers = "Nothing moved by more than chance explains, no verdict and no value of the sheet changed."

const (
	mostWorse  = 2   // on the first page
	mostSince  = 130 // letters
	mostEdits  = 12  // of the sheet, in the section
	mostChange = 100 // letters
)

// changeSummary is a comparison for the first page: what got worse by name, the rest as
// numbers.
type changeSummary struct {
	Since     string
	HowMany   string // got worse
	Worse     []headline
	WorseLeft int
	Rest      string // how many else
}

func (p *page) newChangeSummary() (s changeSummary) {
	c := p.Since
	if c == nil {
		return changeSummary{Rest: p.noneBefore()}
	}
	s.Since = shorten(sinceWhen(c), mostSince)
	for _, change := range worse(c) {
		s.Worse = append(s.Worse, newHeadline(change.Claim, change.Is, p.paper(change.Now), mostChange))
	}
	s.HowMany = howManyWorse(len(s.Worse), c.MoreMissed())
	s.Worse, s.WorseLeft = atMost(s.Worse, mostWorse)
	s.Rest = changeCounts(c)
	return s
}

// howManyWorse says how many claims got worse, and what else did that no claim states.
func howManyWorse(n int, missed []string) string {
	s := "nothing got worse"
	switch {
	case n == 1:
		s = "1 claim got worse"
	case n > 1:
		s = fmt.Sprintf("%d claims got worse", n)
	case len(missed) > 0:
		s = "no claim got worse"
	}
	switch {
	case len(missed) == 0:
		return s + "."
	case n > 0:
		return s + ", and " + strings.Join(missed, "; ") + "."
	}
	return s + ", but " + strings.Join(missed, "; ") + "."
}

// sameBut is for two sessions that differ in nothing but in what was missed on the air.
func sameBut(missed []string) string {
	if len(missed) == 0 {
		return nothingDiffers
	}
	return "In all: " + howManyWorse(0, missed) + " " + nothingDiffers
}

// noneBefore says why nothing is compared.
func (p *page) noneBefore() string {
	if len(p.PassedOver) > 0 {
		return allPassedOver
	}
	return noEarlier
}

func sinceWhen(c *compare.Comparison) string {
	return fmt.Sprintf("Compared with the session of %s (folder %s):", FormatDate(c.Then.Begun), filepath.Base(c.Then.Folder))
}

// worse are the claims seen wrong now that were not then.
func worse(c *compare.Comparison) (list []compare.Change) {
	for _, change := range slices.Concat(c.Lost, c.Other) {
		if change.Is == string(claim.VerdictWrong) {
			list = append(list, change)
		}
	}
	return list
}

// changeCounts says how much else changed.
func changeCounts(c *compare.Comparison) string {
	if c.Same() {
		return nothingDiffers
	}
	var parts []string
	for _, part := range []struct {
		n         int
		one, many string
	}{
		{len(c.NotLookedAt), "claim seen right then is open or stale now", "claims seen right then are open or stale now"},
		{len(c.Gained), "is seen right now and was not then", "are seen right now and were not then"},
		{len(c.Moved), "figure moved", "figures moved"},
		{len(c.Losses), "loss of the signal went otherwise", "losses of the signal went otherwise"},
		{len(c.Came), "claim is new", "claims are new"},
		{len(c.Gone), "claim is gone", "claims are gone"},
		{len(c.Sheet), "value of the sheet was changed", "values of the sheet were changed"},
	} {
		switch part.n {
		case 0:
		case 1:
			parts = append(parts, "1 "+part.one)
		default:
			parts = append(parts, fmt.Sprintf("%d %s", part.n, part.many))
		}
	}
	if len(parts) == 0 {
		return "Nothing else changed."
	}
	return capital(strings.Join(parts, "; ")) + "."
}

// changes is a comparison in sentences for print: claims by what they say.
func (p *page) changes() (list []string) {
	if len(p.PassedOver) > 0 {
		list = append(list, "Passed over: "+strings.Join(p.PassedOver, "; ")+".")
	}
	c := p.Since
	if c == nil {
		return append(list, p.noneBefore())
	}
	list = append(list, sinceWhen(c))
	if c.Soak != nil {
		list = append(list, c.Soak.Sentences()...)
	}
	if c.Same() {
		return append(list, sameBut(c.MoreMissed()))
	}
	list = append(list, p.changedVerdicts()...)
	for _, m := range c.Moved {
		list = append(list, fmt.Sprintf("Moved: %s. It was %s%s", whatWasSeen(m.Sentence), m.Text, reasons(m.Because, m.Claim)))
	}
	for _, l := range c.Losses {
		list = append(list, fmt.Sprintf("Without a signal, %s: then %s; now %s", l.Claim, l.Was, l.Is))
	}
	edits, left := atMost(c.Sheet, mostEdits)
	list = append(list, sheetEdits(edits)...)
	if left > 0 {
		list = append(list, fmt.Sprintf("The sheet: %d more values were changed; benchproof compare lists them", left))
	}
	for _, more := range c.MoreMissed() {
		list = append(list, capital(more))
	}
	return append(list, "In all: "+changeCounts(c))
}

func (p *page) changedVerdicts() (list []string) {
	wrong := string(claim.VerdictWrong)
	for _, l := range worse(p.Since) {
		list = append(list, fmt.Sprintf("Was %s and is %s now: %s%s", l.Was, strings.ToUpper(l.Is), whatWasSeen(p.paper(l.Now)), reasons(l.Because, l.Claim)))
	}
	for _, l := range slices.Concat(p.Since.Gained, p.Since.Other) {
		if l.Was == wrong {
			list = append(list, fmt.Sprintf("Was %s and is %s now: %s", strings.ToUpper(l.Was), l.Is, whatWasSeen(p.paper(l.Now))))
		}
	}
	return list
}

// whatWasSeen is the sentence of a claim without what follows from it and what to set.
func whatWasSeen(sentence string) string {
	seen, _, _ := strings.Cut(sentence, ": ")
	return seen
}

// reasons is because without IDs.
func reasons(list []compare.Moved, id string) string {
	var parts []string
	for _, m := range list {
		if m.Claim == id {
			parts = append(parts, m.Text)
		} else {
			parts = append(parts, whatWasSeen(m.Sentence)+": "+m.Text)
		}
	}
	return inBrackets(parts)
}

// counted says from which difference on the figures that moved count, each once.
func counted(c *compare.Comparison) (list []string) {
	if c == nil {
		return nil
	}
	for _, m := range c.Moved {
		if !slices.Contains(list, m.From) {
			list = append(list, m.From)
		}
	}
	return list
}

// Differences is a comparison in sentences, the ID of a claim behind what it says, and how much
// it is in all; one of them where nothing differs.
func Differences(c *compare.Comparison) (list []string) {
	if c.Soak != nil {
		list = c.Soak.Sentences()
	}
	list = append(list, c.Walk.Sentences()...)
	if c.Same() {
		return append(list, sameBut(c.MoreMissed()))
	}
	for _, l := range c.Lost {
		list = append(list, fmt.Sprintf("Was seen right and is %s now: %s [%s]%s", strings.ToUpper(l.Is), l.Now, l.Claim, reasons(l.Because, l.Claim)))
	}
	for _, m := range c.Moved {
		list = append(list, fmt.Sprintf("Moved: %s [%s]. It was %s%s", whatWasSeen(m.Sentence), m.Claim, m.Text, reasons(m.Because, m.Claim)))
	}
	for _, l := range c.Losses {
		list = append(list, fmt.Sprintf("Without a signal, %s: then %s; now %s", l.Claim, l.Was, l.Is))
	}
	for _, g := range c.Gained {
		list = append(list, fmt.Sprintf("Was %s and is seen right now: %s [%s]", g.Was, whatWasSeen(g.Now), g.Claim))
	}
	for _, o := range c.Other {
		list = append(list, fmt.Sprintf("Was %s and is %s now: %s [%s]", o.Was, strings.ToUpper(o.Is), whatWasSeen(o.Now), o.Claim))
	}
	if len(c.Came) > 0 {
		list = append(list, "Claims that the earlier session did not have: "+strings.Join(c.Came, ", "))
	}
	if len(c.Gone) > 0 {
		list = append(list, "Claims that only the earlier session had: "+strings.Join(c.Gone, ", "))
	}
	list = append(list, sheetEdits(c.Sheet)...)
	return append(list, "In all: "+howManyWorse(len(worse(c)), c.MoreMissed())+" "+changeCounts(c))
}

func sheetEdits(edits []compare.Edit) (list []string) {
	for _, e := range edits {
		list = append(list, fmt.Sprintf("The sheet: %s was %s, is %s", e.Path, orNothing(e.Then), orNothing(e.Now)))
	}
	return list
}

func inBrackets(parts []string) string {
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
