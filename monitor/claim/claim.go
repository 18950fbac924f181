// Package claim judges a sheet: each claim is one checkable sentence that follows
// from it, and its verdict is a fold over events and sheet, nothing else. So a
// session can be judged again under a corrected sheet.
//
// Sentences speak of the wire. What a stabiliser does with what it is asked for
// is not on the bus.
package claim

import (
	"slices"

	"benchproof.example/monitor/event"
)

// Verdict is what was seen of a claim so far.
type Verdict string

// The verdicts.
const (
	VerdictOpen  Verdict = event.VerdictOpen  // not seen yet
	VerdictRight Verdict = event.VerdictRight // and never wrong
	VerdictWrong Verdict = event.VerdictWrong // stays, whatever is seen later, until it is reopened
	VerdictStale Verdict = event.VerdictStale // seen right, but something it depends on was changed since
)

// maxSpans is how many stretches of evidence a claim keeps, the latest.
const maxSpans = 4

// Claim is one checkable sentence.
type Claim struct {
	Verdict  Verdict          `json:"verdict"`
	ID       string           `json:"claim"`
	Sentence string           `json:"sentence"` // with figures, once it was seen
	Evidence []event.Span     `json:"evidence"`
	Figures  map[string]int64 `json:"figures"` // names end in the unit
	// LookedAt is that something was seen that bears on it. One that is open was then
	// not settled by that, and its sentence says what is lacking.
	LookedAt bool `json:"-"`

	Family Family `json:"-"`
	// Part is what stands right behind the family in the ID: which of the family it is.
	Part string `json:"-"`
	// Channel and Output are the one that it judges, 0 for none or several.
	Channel int `json:"-"`
	Output  int `json:"-"`
	// Channels are those that show what became of it, by number; none for what concerns
	// a whole sitting.
	Channels []int `json:"-"`
	// Stated are the keys of the sheet that state it, the likeliest first, as sheet.LineOf takes them.
	Stated []string `json:"-"`
	// Rests are the IDs of the claims on positions that it rests on.
	Rests []string `json:"-"`
	// Settle is how an open claim comes to be seen.
	Settle Action `json:"-"`
	// OnlyWrong is a claim that can be seen wrong but never right.
	OnlyWrong bool `json:"-"`
	// Assumed is a claim on a value that nobody measured or said: seen right, it shows that the model does what the
	// sheet assumes, no more.
	Assumed bool `json:"-"`
	// Reopens is what to name to have it seen anew after a change.
	Reopens string `json:"-"`

	open   string   // what is claimed, before it was seen
	topics []string // what it depends on: channel names, "failsafe"
}

// Heading is what a report puts it under: with the outputs where it judges one, unless
// it is on failsafe.
func (c *Claim) Heading() Heading {
	if h := c.Family.Heading(); c.Output == 0 || h == HeadingFailsafe {
		return h
	}
	return HeadingOutputs
}

// ruling is what a judge saw.
type ruling struct {
	right    bool
	sentence string
	span     event.Span
	figures  map[string]int64
}

// take takes a finding and reports whether the verdict changed. Once seen wrong,
// only reopening helps: a set-up that is right now and then is wrong.
func (c *Claim) take(f ruling) bool {
	was := c.Verdict
	switch {
	case !f.right:
		c.Verdict = VerdictWrong
	case was == VerdictWrong:
		return false
	default:
		c.Verdict = VerdictRight
	}
	if was != c.Verdict {
		c.Evidence = nil
	}
	c.Sentence, c.Figures, c.LookedAt = f.sentence, f.figures, true
	if c.Assumed && f.right {
		c.Sentence += asAssumed
	}
	if c.Figures == nil {
		c.Figures = map[string]int64{}
	}
	if !slices.Contains(c.Evidence, f.span) {
		c.Evidence = append(c.Evidence, f.span)
	}
	if len(c.Evidence) > maxSpans {
		c.Evidence = slices.Delete(c.Evidence, 0, len(c.Evidence)-maxSpans)
	}
	return was != c.Verdict
}

// unsettle says why a claim could not be judged by what was seen of it.
func (c *Claim) unsettle(why string) { c.Sentence, c.LookedAt = why, true }

// reopen makes the verdict one of before a change, and reports whether it
// changed.
func (c *Claim) reopen() bool {
	switch c.Verdict {
	case VerdictRight:
		c.Verdict = VerdictStale
		return true
	case VerdictWrong, VerdictOpen:
		was := c.Verdict
		c.Verdict, c.Sentence, c.Evidence, c.Figures = VerdictOpen, c.open, []event.Span{}, map[string]int64{}
		c.LookedAt = false
		return was != VerdictOpen
	}
	return false
}
