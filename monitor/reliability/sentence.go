package reliability

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/unit"
)

// sentenceOf is what is said about a pattern.
var sentenceOf = map[Pattern]string{
	TwoApart:  "Two are too few to see a trend.",
	TwoClose:  "The two came closer together than chance would have them.",
	NoneSeen:  "No pattern was seen in when they came, which does not show that there is none.",
	Bunches:   "They came in bunches.",
	NotSteady: "They did not come steadily over the soak, so the average says little about any part of it.",
	Regular:   "They came more regularly than chance would have them.",
}

const tooMany = "The %s are too many to look for a pattern in when they came."

// Noun is what is counted: an outage, or something else that is as rare.
type Noun struct{ One, Many string }

var outage = Noun{"outage", "outages"}

// Sentence says what a soak showed about outages: how many, how rare they are at most, and what
// pattern they have, in up to four sentences.
func (o *Outages) Sentence(watched unit.Duration) string { return o.SentenceOf(outage, watched) }

// SentenceOf says so of something else.
func (o *Outages) SentenceOf(what Noun, watched unit.Duration) string {
	if o.N > 1 && o.Frequent(watched) {
		return fmt.Sprintf("%s were frequent: %d in %s. Nothing is proven of how rare they are.", capital(what.Many), o.N, unit.FormatSpan(watched))
	}
	return strings.Join([]string{o.counted(what, watched), o.bounded(what, watched), o.patterned(what, watched)}, " ")
}

func capital(word string) string { return strings.ToUpper(word[:1]) + word[1:] }

func (o *Outages) counted(what Noun, watched unit.Duration) string {
	switch o.N {
	case 0:
		return fmt.Sprintf("No %s in %s.", what.One, unit.FormatSpan(watched))
	case 1:
		return fmt.Sprintf("1 %s in %s.", what.One, unit.FormatSpan(watched))
	}
	s := fmt.Sprintf("%d %s on %s in %s", o.N, what.Many, occasions(o.Occasions), unit.FormatSpan(watched))
	if o.Occasions > 1 {
		s += ", one occasion in " + unit.FormatSpan(watched/unit.Duration(o.Occasions))
	}
	return s + "."
}

func (o *Outages) bounded(what Noun, watched unit.Duration) string {
	hours := o.HoursPerOccasion(watched)
	if hours == 0 {
		first := watched + o.StillToRun(watched, 1)
		return fmt.Sprintf("That is too short to prove anything; the first figure comes at %d h, if no further occasion does.", (first+hour-1)/hour)
	}
	return fmt.Sprintf("Luck allowed for, that proves: occasions of %s come no more often than once in %d h on average, 95 %% sure, "+
		"on this bench under these conditions (less sure if one cause disturbs for longer than %s).", what.Many, hours, longest(o.Gap))
}

func (o *Outages) patterned(what Noun, watched unit.Duration) string {
	switch o.N {
	case 0:
		return fmt.Sprintf("One quiet soak can't show whether %s would come in bunches.", what.Many)
	case 1:
		return "One occasion is too few to judge any pattern."
	}
	pattern := o.Pattern(watched)
	if pattern == TooManyToTell {
		return fmt.Sprintf(tooMany, what.Many)
	}
	return sentenceOf[pattern]
}

// longest is how long a source of disturbance may last for a bound with such a gap to hold.
func longest(gap unit.Duration) string {
	if gap < LongGap {
		return "an hour"
	}
	return "two hours"
}

func occasions(n int64) string {
	if n == 1 {
		return "1 occasion"
	}
	return fmt.Sprintf("%d occasions", n)
}
