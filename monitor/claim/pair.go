package claim

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of the two tilts about an axis.
const (
	sameWayTwice    = "%s and %s moved %s the same way: was it put back level, and then tilted to the other side?"
	oneSideWrongWay = "%s answered to one side only, and the wrong way, by %s and %s: tilt it as far to either side"
	oneSideOnly     = "%s answered to one side only, by %s and %s: tilt it as far to the other side"
	didNotLast      = "%s went the right way, but its answer did not last, as one that levels does: hold the tilt until " +
		"the next prompt; if it fades all the same, see the response drill"
	correctionReversed = "%s, %s moved %s the way %s moves it: the correction is reversed: %s (%s)"
	reversedHereOnly   = "only at this output, so don't reverse the %s correction, which would turn the good ones over: " +
		"see that wing and tail type in the stabiliser are the model's and that either it or the transmitter mixes, not " +
		"both; a direction of this output alone, if the stabiliser has one"
	othersNotKnown = "see first what the other outputs do that correct %s; only if all are reversed, reverse the %s " +
		"correction in the stabiliser, not the servo"
	reverseCorrection = "reverse the %s correction in the stabiliser, not the servo"
	correctsBothWays  = "%s, %s moved %s as with %s; %s, %s the other way (%s)"
	tooLittleToTell   = "%s answered too little to tell which way: tilt the model farther"
	hardlyAnswers     = "%s, %s moved %s, while another output of that axis answered: it should have moved about %s; " +
		"see that the stabiliser's wing or tail type has it correct with that output, and learn the limits anew: which " +
		"of the two can't be told (%s)"
	stickMovesTooLittle = "%s moves by %s only with its stick, too little to compare a tilt with: see what moves it"
)

// pair is how one output answered the two tilts about an axis, ns from rest, beside
// what its stick does.
type pair struct {
	axis                string
	output              *sheet.Output
	stick, there, other unit.Width
	expected            unit.Width // of there, by the other outputs of the axis
	holds               bool       // the answers lasted where they should
	who                 string
	beside              string // how the other outputs of the axis answered, see beside
}

// How the other outputs of an axis answered.
const (
	allSo      = ""                // they are reversed as well, or there are none
	someGood   = "some good"       // some answered the right way
	unknowable = "nobody can tell" // of some it can't be known
)

// beside is how the outputs of an axis but one answered, of so many.
func beside(p *pair, pairs []*pair, outputs int) string {
	reversed := 0
	for _, q := range pairs {
		switch {
		case q == p:
		case q.way() > 0:
			return someGood
		case q.way() < 0:
			reversed++
		}
	}
	if reversed < outputs-1 {
		return unknowable
	}
	return allSo
}

// answers are those to the two tilts along the way that the stick moves the output to:
// both are to be positive.
func (p *pair) answers() (there, other unit.Width) {
	if p.stick < 0 {
		return -p.there, p.other
	}
	return p.there, -p.other
}

// way is 1 for an output that answered the right way, -1 for one that is reversed, 0
// where that can't be known.
func (p *pair) way() int {
	t, u := p.answers()
	switch {
	case unit.Abs(p.stick) < stickLeast:
		return 0
	case min(t, u) >= sensedLeast:
		return 1
	case max(t, u) <= -sensedLeast:
		return -1
	}
	return 0
}

func (p *pair) judge(id string, span event.Span, b *Book) {
	figures := map[string]int64{"stick_ns": int64(p.stick), "there_ns": int64(p.there), "other_ns": int64(p.other)}
	there, other := unit.FormatWidth(unit.Abs(p.there)), unit.FormatWidth(unit.Abs(p.other))
	t, u := p.answers()
	switch {
	case unit.Abs(p.stick) < stickLeast:
		b.unclear(id, unmoved(p.output, p.stick))
	case min(t, u) <= -sensedLeast && max(t, u) >= sensedLeast:
		b.unclear(id, fmt.Sprintf(sameWayTwice, tiltNames[p.axis].there, tiltNames[p.axis].other, output(p.output)))
	case max(t, u) <= -sensedLeast:
		b.wrong(id, p.reversed(b), span, figures)
	case min(t, u) <= -sensedLeast: // a hand that tilted to the wrong side once looks like that
		b.unclear(id, fmt.Sprintf(oneSideWrongWay, output(p.output), there, other))
	case max(t, u) < sensedLeast:
		p.dead(id, span, figures, b)
	case min(t, u) < sensedLeast:
		b.unclear(id, fmt.Sprintf(oneSideOnly, output(p.output), there, other))
	case !p.holds:
		b.unclear(id, fmt.Sprintf(didNotLast, output(p.output)))
	default:
		b.right(id, p.right(b), span, figures)
	}
}

// reversed tells of the first tilt, in the words of sticks.
func (p *pair) reversed(b *Book) string {
	there := unit.FormatWidth(unit.Abs(p.there))
	return fmt.Sprintf(correctionReversed,
		tiltNames[p.axis].there, output(p.output), there, p.ends(b)[1], p.cure(), p.who)
}

// cure is what to do about a reversed answer. The setting of an axis turns all of its
// outputs over, the good ones too.
func (p *pair) cure() string {
	switch p.beside {
	case someGood:
		return fmt.Sprintf(reversedHereOnly, p.axis)
	case unknowable:
		return fmt.Sprintf(othersNotKnown, p.axis, p.axis)
	}
	return fmt.Sprintf(reverseCorrection, p.axis)
}

func (p *pair) right(b *Book) string {
	there, other := unit.FormatWidth(unit.Abs(p.there)), unit.FormatWidth(unit.Abs(p.other))
	asked := tiltNames[p.axis]
	return fmt.Sprintf(correctsBothWays, asked.there, output(p.output), there, p.ends(b)[0], asked.other, other, p.who)
}

// dead is for an output that stood still while others of its axis answered.
func (p *pair) dead(id string, span event.Span, figures map[string]int64, b *Book) {
	least := unit.Width(2 * sensedLeast)
	if max(unit.Abs(p.there), unit.Abs(p.other)) < faintAnswer {
		least = sensedLeast
	}
	if p.expected < least {
		b.unclear(id, fmt.Sprintf(tooLittleToTell, output(p.output)))
		return
	}
	there, expected := unit.FormatWidth(unit.Abs(p.there)), unit.FormatWidth(p.expected)
	b.wrong(id, fmt.Sprintf(hardlyAnswers, tiltNames[p.axis].there, output(p.output), there, expected, p.who), span, figures)
}

// ends are the reference stick's two ends in words, the one that the first tilt must
// answer to first.
func (p *pair) ends(b *Book) (list [2]string) {
	c, end, _ := b.sheet.Reference(p.axis)
	list[0] = c.Name + " stick " + end.Name
	for _, place := range c.Places {
		if place.Name != end.Name {
			list[1] = c.Name + " stick " + place.Name
		}
	}
	return list
}

// unmoved is for an output that its stick does not move.
func unmoved(o *sheet.Output, stick unit.Width) string {
	return fmt.Sprintf(stickMovesTooLittle, output(o), unit.FormatWidth(unit.Abs(stick)))
}
