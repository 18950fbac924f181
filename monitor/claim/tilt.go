package claim

import (
	"fmt"
	"math/big"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// tilt is one tilt of the model and what the outputs did.
type tilt struct {
	Deflections []deflection `json:"swings"` // of all outputs that correct anything
	Levels      bool         `json:"levels"` // in the mode that was asked for, answers in roll and pitch stay
	Yaw         bool         `json:"yaw"`
	Tapped      bool         `json:"tapped"` // somebody confirmed that it was tilted as asked
	Who         string       `json:"who"`
	Doubt       string       `json:"doubt"` // why nothing follows from it
	Span        event.Span   `json:"span"`
}

func newTilt(axis string, d *event.DrillAnsweredData, span event.Span, outputs []*sheet.Output, b *Book) *tilt {
	does := outputsDo(b.sheet, d.Mode)
	t := &tilt{
		Deflections: tiltDeflections(d, outputs), Tapped: confirmed(d), Who: whoTilted(d), Span: span,
		Levels: does == sheet.DoesStay, Yaw: axis == sheet.Yaw,
		Doubt: mistrust(d, b.sheet.Corrected(axis), b),
	}
	if t.Doubt == "" && does == sheet.DoesNothing && b.sheet.Stabiliser != nil {
		t.Doubt = fmt.Sprintf("the bus asked for %s, in which nothing is to be corrected", text.ModeName(d.Mode))
	}
	return t
}

func (t *tilt) of(output int) (deflection, bool) { return deflectionOf(t.Deflections, output) }

// lasts reports whether the answer is one that stays.
func (t *tilt) lasts() bool { return t.Levels && !t.Yaw }

// value is the answer of an output: what stayed of it where answers stay, else the
// kick.
func (t *tilt) value(s deflection) unit.Width {
	if t.lasts() && unit.Abs(s.Late) >= sensedLeast {
		return s.Late
	}
	return s.Kick
}

// holds reports whether an answer goes on as it should: lasting where the stabiliser
// levels. One in yaw fades, or stays where a course is held.
func (t *tilt) holds(s deflection) bool { return !t.lasts() || unit.Abs(s.Late) >= sensedLeast }

// far is how far an output went.
func (t *tilt) far(output int) unit.Width {
	s, _ := t.of(output)
	return unit.Abs(t.value(s))
}

// most is the largest movement of some outputs.
func (t *tilt) most(outputs []*sheet.Output) (most unit.Width) {
	for _, o := range outputs {
		s, _ := t.of(o.Number)
		most = max(most, unit.Abs(s.Kick))
	}
	return most
}

// stayed reports whether any output was kept away from where it had been.
func (t *tilt) stayed() bool {
	for _, s := range t.Deflections {
		if unit.Abs(s.Late) >= sensedLeast {
			return true
		}
	}
	return false
}

// elsewhere names the axis about which the model seems to have been tilted instead,
// "" for none. What the outputs did is projected on what they do with each axis'
// stick, so that elevons and V-tails can be distinguished:
//
//	              left  right
//	stick back      -     +     tail raised, answered:   -  +
//	stick left      +     +     that looks like a roll:  +  +
//
// A hand turns other axes along a little, so another one must be half as much again.
// Where the stabiliser levels, what did not stay was no pitch and no roll; what stayed
// may have been a yaw in which a course is held.
// Outputs that the axis itself moves show that sooner than others, which answer to
// what is turned along even where this axis is dead.
func (c *correction) elsewhere(axis string, t *tilt, own []*sheet.Output) (as string) {
	most, least := unit.Abs(c.along(axis, t))*3/2, unit.Width(sensedLeast)
	if t.most(own) < sensedLeast {
		least = sureAnswer
	}
	for _, other := range axes {
		if other == axis || t.Levels && !t.stayed() && other != sheet.Yaw {
			continue
		}
		if part := unit.Abs(c.along(other, t)); part >= least && part > most {
			most, as = part, other
		}
	}
	return as
}

// along is how far a tilt moved the outputs along what an axis' stick does to them, ns.
func (c *correction) along(axis string, t *tilt) unit.Width {
	const step = 100      // ns, so that nothing overflows
	var dot, length int64 // squares
	for _, s := range c.Sticks[axis] {
		if x, ok := t.of(s.Output); ok {
			dot += int64(t.kept(x)/step) * int64(s.Late/step)
			length += int64(s.Late/step) * int64(s.Late/step)
		}
	}
	root := new(big.Int).Sqrt(big.NewInt(length)).Int64()
	if root == 0 {
		return 0
	}
	return unit.Width(step * dot / root)
}

// kept is what shows the axis of a tilt: where answers stay and some did, what stayed of
// each, since kicks beside it come of what was turned along.
func (t *tilt) kept(s deflection) unit.Width {
	if t.lasts() && t.stayed() {
		return s.Late
	}
	return s.Kick
}
