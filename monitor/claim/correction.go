package claim

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of corrections.
const (
	answersAsItsStick = "%s answers %s as %s stick %s, and %s the other way"
	stickNotSeen      = "what the outputs do with the stick was not seen: hold it fully over in the drill until the " +
		"next prompt comes"
	tiltedAnotherWay    = "what was asked for was %s; that looked like a %s: %s"
	tiltsMovedNothing   = "%s and %s moved no output by more than %s (%s)"
	perhapsNobodyTilted = "that may be because nobody tilted it: do the drill again, and confirm each tilt with Enter " +
		"while it is held"
	stabiliserOff = "the stabiliser is off, its gain is at zero, %sor " +
		"limit learning was not completed; which of these can't be told from the leads"
	offForThisAxis = "the stabiliser is on, since it answers about another axis: look at what it is set to do about " +
		"this one, its gain there, and at the limits that were learned for it"
	correctsAnotherAxis = "%s, %s moved %s, but with %s %s: the stabiliser corrects %s with it instead of %s: look at " +
		"what it uses each output for, and at its wing and tail type"
	eyeSaw = "with %s stick %s, %s: %s saw it once; that rests on the eye"
)

// What shows the sense of a correction, ns.
const (
	// sensedLeast is an answer whose direction can't be jitter: six times what a good
	// receiver strays at rest (common practice), and a few degrees of tilt.
	sensedLeast = 15_000
	// stickLeast is how far its stick moves an output that can be compared with it.
	stickLeast = 30_000
	// nearStop is how near its end a stick must have been held.
	nearStop = 60_000
)

// correction judges that the stabiliser corrects the right way: an output answers
// "tail raised" in the same direction as "stick back", "left wing raised" as "stick
// left", "nose jerked left" as "rudder stick right", and the opposite tilt the other
// way (common practice). That is compared on the pulses alone, whatever the linkage.
type correction struct {
	pendingAnswers
	Sticks map[string][]deflection `json:"sticks"` // by axis, of the outputs that correct it
	There  map[string]*tilt        `json:"there"`  // by axis
	Judged map[string]*bothWays    `json:"judged"` // by axis

	outputs []*sheet.Output // that correct anything
}

// bothWays are the two tilts about an axis, of which something follows.
type bothWays struct {
	There *tilt `json:"there"`
	Other *tilt `json:"other"`
}

func newCorrection(b *Book) *correction {
	c := &correction{Sticks: map[string][]deflection{}, There: map[string]*tilt{}, Judged: map[string]*bothWays{}, outputs: correcting(b.sheet)}
	for _, axis := range axes {
		stick, end, ok := b.sheet.Reference(axis)
		outputs := b.sheet.Corrected(axis)
		if !ok || len(outputs) == 0 {
			continue
		}
		for _, o := range outputs {
			asked := tiltNames[axis]
			b.add(key{FamilyCorrection, []string{axis, about(o)}, 0, o.Number}, fmt.Sprintf(answersAsItsStick, output(o), asked.there,
				stick.Name, end.Name, asked.other),
				Action{Do: DoTilt, Drill: drill.Correction}, topicsOf(b, o)...)
		}
		b.add(FamilyStick.of(axis), fmt.Sprintf("with %s stick %s, %s", stick.Name, end.Name, surfaces[axis]),
			Action{Do: DoLook, Drill: drill.Correction}, TopicOutputs, stick.Name)
	}
	return c
}

func correctionID(axis string, o *sheet.Output) string {
	return FamilyCorrection.ID(axis, about(o))
}

// axes are those that a model is tilted about, in the order of the drill.
var axes = []string{sheet.Pitch, sheet.Roll, sheet.Yaw}

// tiltNames are the two tilts about an axis.
var tiltNames = map[string]struct{ there, other string }{
	sheet.Pitch: {"tail raised", "nose raised"},
	sheet.Roll:  {"left wing raised", "right wing raised"},
	sheet.Yaw:   {"nose jerked left", "nose jerked right"},
}

// surfaces are what the reference stick of an axis must do (common practice).
var surfaces = map[string]string{
	sheet.Pitch: "the elevator goes up",
	sheet.Roll:  "the left aileron goes up",
	sheet.Yaw:   "the rudder goes to the right",
}

func (c *correction) see(e *event.Event, b *Book) {
	switch d := e.Data.(type) {
	case event.DrillBeganData:
		if e.About == event.AboutDrill.Called(drill.Correction) {
			c.restart()
		}
	case event.DrillAnsweredData:
		if plan, ask := b.drills.Asked(d.Prompt); plan.Name == drill.Correction && ask.Axis != "" {
			c.answer(ask.Axis, ask.Act, &d, event.Span{From: e.From, To: e.At}, b)
		}
	}
}

func (c *correction) restart() {
	c.pendingAnswers = pendingAnswers{}
	clear(c.Sticks)
	clear(c.There)
	clear(c.Judged)
}

func (c *correction) answer(axis string, act drill.Act, d *event.DrillAnsweredData, span event.Span, b *Book) {
	stick, end, ok := b.sheet.Reference(axis)
	if !ok {
		return
	}
	switch act {
	case drill.ActCompare:
		if heard(d) && unit.Abs(move(d, stick.Number).ToNS-end.Width) <= nearStop {
			c.Sticks[axis] = deflections(d, b.sheet.Corrected(axis))
		}
	case drill.ActTilt:
		c.There[axis] = newTilt(axis, d, span, c.outputs, b)
	case drill.ActOpposite:
		c.judge(axis, c.There[axis], newTilt(axis, d, span, c.outputs, b), b)
	case drill.ActLook:
		c.eyeAnswer(axis, stick, end, d, span, b)
	}
}

// judge compares the two tilts about an axis with its stick.
func (c *correction) judge(axis string, there, other *tilt, b *Book) {
	outputs := b.sheet.Corrected(axis)
	if why := c.doubt(axis, there, other, b); why != "" {
		for _, o := range outputs {
			b.unclear(correctionID(axis, o), why)
		}
		return
	}
	c.Judged[axis] = &bothWays{there, other}
	most := max(there.most(outputs), other.most(outputs))
	if most >= sureAnswer {
		c.settlePending(b)
	}
	if most < sensedLeast {
		c.nothing(axis, there, other, most, b)
	} else {
		c.each(axis, there, other, b)
	}
	c.misled(b)
}

// doubt says why nothing follows from the tilts about an axis.
func (c *correction) doubt(axis string, there, other *tilt, b *Book) string {
	switch {
	case there == nil:
		return tiltNames[axis].there + " was not seen: do the drill from its beginning"
	case there.Doubt != "":
		return tiltNames[axis].there + ": " + there.Doubt
	case other.Doubt != "":
		return tiltNames[axis].other + ": " + other.Doubt
	case len(c.Sticks[axis]) == 0:
		return stickNotSeen
	}
	outputs := b.sheet.Corrected(axis)
	for i, t := range []*tilt{there, other} {
		confirmed := t.Tapped && t.most(outputs) >= sureAnswer // by a person and by the outputs
		if as := c.elsewhere(axis, t, outputs); as != "" && !confirmed {
			how := "tilt it as told, farther, and confirm with Enter that it was so"
			if t.Tapped {
				how = "tilt it as told, and farther"
			}
			return fmt.Sprintf(tiltedAnotherWay, []string{tiltNames[axis].there, tiltNames[axis].other}[i], as, how)
		}
	}
	return ""
}

// nothing is when no output of an axis answered either tilt. Only tilts that were
// confirmed distinguish that from nobody tilting.
func (c *correction) nothing(axis string, there, other *tilt, most unit.Width, b *Book) {
	what := fmt.Sprintf(tiltsMovedNothing, tiltNames[axis].there, tiltNames[axis].other, unit.FormatWidth(most), there.Who)
	for _, o := range b.sheet.Corrected(axis) {
		id := correctionID(axis, o)
		stick, seen := deflectionOf(c.Sticks[axis], o.Number)
		switch {
		case seen && unit.Abs(stick.Late) < stickLeast:
			b.unclear(id, unmoved(o, stick.Late))
		case most >= faintAnswer && there.lasts():
			b.unclear(id, what+": that is too little to tell which way: tilt it farther; "+noMore)
		case most >= faintAnswer: // a slow hand makes no more of a rate
			b.unclear(id, what+": that is too little to tell which way: tilt it more quickly; "+noMore)
		case !there.Tapped && !other.Tapped:
			b.unclear(id, what+"; "+perhapsNobodyTilted)
		default:
			c.unanswered(dead{
				ID: id, Text: what, Span: event.Span{From: there.Span.From, To: other.Span.To}, Figures: map[string]int64{"most_ns": int64(most)},
				Alone:  fmt.Sprintf(stabiliserOff, asleep(b.sheet, waitsForThrottle)),
				Beside: offForThisAxis,
			}, b)
		}
	}
}

// each judges the outputs that correct an axis.
func (c *correction) each(axis string, there, other *tilt, b *Book) {
	outputs := b.sheet.Corrected(axis)
	pairs := make([]*pair, 0, len(outputs))
	for _, o := range outputs {
		p := c.pair(axis, o, there, other)
		if p == nil {
			b.unclear(correctionID(axis, o), output(o)+" sent no pulses for a part of the drill: look at its lead")
			continue
		}
		pairs = append(pairs, p)
	}
	for _, p := range pairs {
		p.beside = beside(p, pairs, len(outputs))
		p.judge(correctionID(axis, p.output), event.Span{From: there.Span.From, To: other.Span.To}, b)
	}
}

// pair is how an output answered the two tilts about an axis, nil where it was not heard
// all along.
func (c *correction) pair(axis string, o *sheet.Output, there, other *tilt) *pair {
	stick, seen := deflectionOf(c.Sticks[axis], o.Number)
	t, seenThere := there.of(o.Number)
	u, seenOther := other.of(o.Number)
	if !seen || !seenThere || !seenOther {
		return nil
	}
	return &pair{
		axis: axis, output: o, stick: stick.Late, there: there.value(t), other: other.value(u), who: there.Who,
		holds: there.holds(t) && other.holds(u), expected: c.expected(axis, stick.Late, there),
	}
}

// misled looks for outputs that answer tilts about an axis which the sheet does not have
// them correct, and hardly answer one which it does: what they do there comes of what a
// hand turned along.
func (c *correction) misled(b *Book) {
	for _, axis := range axes {
		of := c.Judged[axis]
		if of == nil {
			continue
		}
		for _, o := range b.sheet.Corrected(axis) {
			own := max(of.There.far(o.Number), of.Other.far(o.Number))
			if as, far := c.foreign(o, b); as != "" && far > 3*own {
				went, asFar := unit.FormatWidth(of.There.far(o.Number)), unit.FormatWidth(far)
				b.wrong(correctionID(axis, o), fmt.Sprintf(correctsAnotherAxis,
					tiltNames[axis].there, output(o), went, tiltNames[as].there, asFar, as, axis),
					event.Span{From: of.There.Span.From, To: of.Other.Span.To}, map[string]int64{"own_ns": int64(own), "foreign_ns": int64(far)})
			}
		}
	}
}

// foreign is the axis that an output answers most of those which it is not to correct,
// and by how much; "" where it surely answers none.
func (c *correction) foreign(o *sheet.Output, b *Book) (as string, far unit.Width) {
	for _, axis := range axes {
		of := c.Judged[axis]
		if of == nil || slices.Contains(o.Corrects, axis) || min(of.There.most(b.sheet.Corrected(axis)), of.Other.most(b.sheet.Corrected(axis))) < sensedLeast {
			continue
		}
		t, seenThere := of.There.of(o.Number)
		u, seenOther := of.Other.of(o.Number)
		v, w := of.There.value(t), of.Other.value(u)
		if least := min(unit.Abs(v), unit.Abs(w)); seenThere && seenOther && (v < 0) != (w < 0) && least >= sureAnswer && least > far {
			as, far = axis, least
		}
	}
	return as, far
}

// expected is how far an output should have answered, going by the one of its axis
// that answered most.
func (c *correction) expected(axis string, stick unit.Width, there *tilt) (most unit.Width) {
	for _, s := range c.Sticks[axis] {
		if t, ok := there.of(s.Output); ok && unit.Abs(s.Late) >= stickLeast {
			answered := int64(unit.Abs(there.value(t)))
			most = max(most, unit.Width(answered*int64(unit.Abs(stick))/int64(unit.Abs(s.Late))))
		}
	}
	return most
}

// eyeAnswer takes the builder's word for what no wire shows, if the stick was held over
// meanwhile.
func (c *correction) eyeAnswer(axis string, stick *sheet.Channel, end sheet.Place, d *event.DrillAnsweredData, span event.Span, b *Book) {
	id, m := FamilyStick.ID(axis), move(d, stick.Number)
	if d.By != "builder" {
		return
	}
	if !heard(d) || min(unit.Abs(m.LeastNS-end.Width), unit.Abs(m.MostNS-end.Width)) > nearStop {
		b.unclear(id, fmt.Sprintf("%s stick was not seen at %s while the surface was looked at", stick.Name, end.Name))
		return
	}
	by := "the builder"
	if d.Who != "" {
		by = d.Who
	}
	b.right(id, fmt.Sprintf(eyeSaw, stick.Name, end.Name, surfaces[axis], by), span, map[string]int64{"stick_ns": int64(m.ToNS)})
}

func (c *correction) forget(what string, _ unit.Time) {
	c.Dead = nil // what was changed may have cured them
	clear(c.Judged)
	if what == TopicAll || what == TopicOutputs {
		c.restart()
	}
}

// Some stabilisers sleep until the throttle was once advanced (from memory): a model without one waits for nothing.
const (
	waitsForThrottle    = "it waits for the throttle to be advanced once, "
	sleepsUntilThrottle = "the stabiliser sleeps until the throttle was once advanced (set the model down and have the drive unable to run before " +
		"anybody tries that); "
)

// asleep is what is said of that, "" for a model without a throttle.
func asleep(s *sheet.Sheet, says string) string {
	if len(s.ThrottleChannels()) == 0 {
		return ""
	}
	return says
}
