package claim

import (
	"fmt"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// pair is how one output answered the two tilts about an axis, ns from rest, beside
// what its stick does.
type pair struct {
	axis                string
	output              *sheet.Output
	stick, there, other int64
	expected            int64 // of there, by the other outputs of the axis
	holds               bool  // the answers lasted, or faded, as they should
	who                 string
}

func (p *pair) judge(id string, span fact.Span, b *Book) {
	figures := map[string]int64{"stick_ns": p.stick, "there_ns": p.there, "other_ns": p.other}
	t, u := p.there, -p.other // both are to go the stick's way
	if p.stick < 0 {
		t, u = -t, -u
	}
	switch {
	case abs(p.stick) < stickLeast:
		b.unclear(id, unmoved(p.output, p.stick))
	case min(t, u) <= -sensed && max(t, u) >= sensed:
		b.unclear(id, fmt.Sprintf("%s and %s moved %s the same way: was it put back level, and then tilted to the other side?", sides[p.axis].there, sides[p.axis].other, output(p.output)))
	case min(t, u) <= -sensed:
		b.wrong(id, p.reversed(t <= -sensed, b), span, figures)
	case max(t, u) < sensed:
		p.dead(id, span, figures, b)
	case min(t, u) < sensed:
		b.unclear(id, fmt.Sprintf("%s answered to one side only, by %s and %s: tilt it as far to the other side", output(p.output), say.Width(abs(p.there)), say.Width(abs(p.other))))
	case !p.holds:
		b.unclear(id, fmt.Sprintf("%s went the right way, but its answer %s: see the response drill", output(p.output), p.wrongly()))
	default:
		b.right(id, p.right(b), span, figures)
	}
}

// reversed tells of the tilt that was answered the wrong way, in the words of sticks.
func (p *pair) reversed(there bool, b *Book) string {
	tilt, moved, asEnd := sides[p.axis].other, p.other, p.ends(b)[0]
	if there {
		tilt, moved, asEnd = sides[p.axis].there, p.there, p.ends(b)[1]
	}
	return fmt.Sprintf("%s, %s moved %s the way %s moves it: the correction is reversed: reverse the %s correction in the stabiliser, not the servo (%s)",
		tilt, output(p.output), say.Width(abs(moved)), asEnd, p.axis, p.who)
}

func (p *pair) right(b *Book) string {
	return fmt.Sprintf("%s, %s moved %s as with %s; %s, %s the other way (%s)",
		sides[p.axis].there, output(p.output), say.Width(abs(p.there)), p.ends(b)[0], sides[p.axis].other, say.Width(abs(p.other)), p.who)
}

// dead is for an output that stood still while others of its axis answered.
func (p *pair) dead(id string, span fact.Span, figures map[string]int64, b *Book) {
	least := int64(2 * sensed)
	if max(abs(p.there), abs(p.other)) < faint {
		least = sensed
	}
	if p.expected < least {
		b.unclear(id, fmt.Sprintf("%s answered too little to tell which way: tilt the model farther", output(p.output)))
		return
	}
	b.wrong(id, fmt.Sprintf("%s, %s moved %s, while another output of that axis answered: it should have moved about %s; see whether the stabiliser corrects with that output, and learn the limits anew (%s)",
		sides[p.axis].there, output(p.output), say.Width(abs(p.there)), say.Width(p.expected), p.who), span, figures)
}

// wrongly says how an answer went on that should not.
func (p *pair) wrongly() string {
	if p.axis == sheet.Yaw {
		return "did not fade, as one in yaw does"
	}
	return "did not last, as one that levels does"
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
func unmoved(o *sheet.Output, stick int64) string {
	return fmt.Sprintf("%s moves by %s only with its stick, too little to compare a tilt with: see what moves it", output(o), say.Width(abs(stick)))
}
