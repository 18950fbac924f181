package claim

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// surelyTimes is how many half intervals a figure is away from none for its sign to be sure.
const surelyTimes = 2

// degrees judges how far outputs go for each degree of tilt: in proportion and the way of the stick
// where answers stay, not at all once the model rests where they return.
type degrees struct {
	Sticks map[string][]deflection            `json:"sticks"` // by axis, of the outputs that correct it
	Fits   map[string]*event.AnswerFittedData `json:"fits"`   // by the ID of the claim, of the axis and mode that come now
}

func newDegrees(b *Book) *degrees {
	d := &degrees{Sticks: map[string][]deflection{}, Fits: map[string]*event.AnswerFittedData{}}
	each(b.sheet, func(m *sheet.Mode, axis string, o *sheet.Output) {
		b.add(degreesKey(m.Name, axis, o), d.claims(m, axis, o, b), drilled(drill.Degrees), tiltTopics(b)...)
	})
	return d
}

// each goes through the outputs that correct an axis in a mode that answers.
func each(s *sheet.Sheet, do func(m *sheet.Mode, axis string, o *sheet.Output)) {
	for i := range s.Stabiliser.Modes {
		m := &s.Stabiliser.Modes[i]
		if m.Does != sheet.DoesReturn && m.Does != sheet.DoesStay || len(m.WantedAt) == 0 {
			continue
		}
		for _, axis := range axes {
			if _, _, ok := s.Reference(axis); !ok {
				continue
			}
			for _, o := range s.Corrected(axis) {
				do(m, axis, o)
			}
		}
	}
}

// tiltTopics are what the answers of a stabiliser depend on.
func tiltTopics(b *Book) []string {
	topics := []string{TopicOutputs}
	for _, n := range b.sheet.ModeChannels() {
		topics = append(topics, name(b, n))
	}
	if g := b.sheet.Gain; g != nil && g.Channel != 0 {
		topics = append(topics, name(b, g.Channel))
	}
	return topics
}

func degreesKey(mode, axis string, o *sheet.Output) key {
	return key{FamilyDegrees, []string{mode, axis, about(o)}, 0, o.Number}
}

func (*degrees) claims(m *sheet.Mode, axis string, o *sheet.Output, b *Book) string {
	stick, end, _ := b.sheet.Reference(axis)
	switch {
	case m.Does == sheet.DoesReturn:
		return fmt.Sprintf(claimsLeft, text.ModeName(m.Name), output(o), axis)
	case axis == sheet.Yaw:
		return fmt.Sprintf(claimsYaw, text.ModeName(m.Name), output(o), stick.Name, end.Name)
	}
	return fmt.Sprintf(claimsProportion, text.ModeName(m.Name), output(o), axis, stick.Name, end.Name)
}

func (d *degrees) see(e *event.Event, b *Book) {
	switch data := e.Data.(type) {
	case event.DrillBeganData:
		if e.About == event.AboutDrill.Called(drill.Degrees) {
			clear(d.Sticks)
			clear(d.Fits)
		}
	case event.DrillAnsweredData:
		plan, ask := b.drills.Asked(data.Prompt)
		stick, end, ok := b.sheet.Reference(ask.Axis)
		if ok && plan.Name == drill.Degrees && ask.Act == drill.ActCompare && heard(&data) && unit.Abs(move(&data, stick.Number).ToNS-end.Width) <= nearStop {
			d.Sticks[ask.Axis] = deflections(&data, b.sheet.Corrected(ask.Axis))
		}
	case event.AnswerFittedData:
		d.fitted(e, &data, b)
	}
}

// fitted judges an axis once the figures of all its outputs are there: they come one right after
// the other.
func (d *degrees) fitted(e *event.Event, data *event.AnswerFittedData, b *Book) {
	outputs := b.sheet.Corrected(data.Axis)
	for _, o := range outputs {
		if about(o) == e.About {
			d.Fits[degreesKey(data.Mode, data.Axis, o).id()] = data
		}
	}
	if len(outputs) == 0 || about(outputs[len(outputs)-1]) != e.About {
		return
	}
	for _, o := range outputs {
		f := fit{degrees: d, data: d.Fits[degreesKey(data.Mode, data.Axis, o).id()], output: o, span: event.Span{From: e.From, To: e.At}}
		if f.data != nil {
			f.judge(b)
		}
	}
}

func (d *degrees) forget(string, unit.Time) {
	clear(d.Sticks)
	clear(d.Fits)
}

// fit is the answer of one output, in one mode and about one axis.
type fit struct {
	*degrees
	data   *event.AnswerFittedData
	output *sheet.Output
	span   event.Span
}

func (f *fit) id() string { return degreesKey(f.data.Mode, f.data.Axis, f.output).id() }

// sure reports that its sign is sure, and that no jitter made it.
func (f *fit) sure() bool {
	return unit.Abs(f.data.PerDegreeNS) > surelyTimes*f.data.PerDegreeWithinNS && f.data.FarNS >= answerLeast
}

// way is 1 where it goes the way of its stick, -1 where it goes against it, 0 where that can't be known.
func (f *fit) way() int {
	stick, seen := deflectionOf(f.Sticks[f.data.Axis], f.output.Number)
	switch {
	case f.data.Why != "" || !f.sure() || !seen || unit.Abs(stick.Late) < stickLeast:
		return 0
	case (stick.Late > 0) == (f.data.PerDegreeNS > 0):
		return 1
	}
	return -1
}

func (f *fit) figures() map[string]int64 {
	return map[string]int64{
		"per_degree_ns": int64(f.data.PerDegreeNS), "per_degree_within_ns": int64(f.data.PerDegreeWithinNS), "far_ns": int64(f.data.FarNS),
		"kick_ns": int64(f.data.KickNS), "dead_mdeg": f.data.DeadMDeg, "dead_within_mdeg": f.data.DeadWithinMDeg,
	}
}

func (f *fit) judge(b *Book) {
	mode, d := text.ModeName(f.data.Mode), f.data
	does := outputsDo(b.sheet, d.Mode)
	switch {
	case d.Why != "":
		b.unclear(f.id(), fmt.Sprintf(noFigures, mode, d.Axis, output(f.output), d.Why))
	case unit.Abs(d.CreepNS) >= answerLeast:
		b.unclear(f.id(), fmt.Sprintf(creeps, mode, output(f.output), unit.FormatWidth(unit.Abs(d.CreepNS))))
	case does == sheet.DoesReturn:
		f.returns(b)
	case f.sure():
		f.stays(b)
	case d.Axis == sheet.Yaw && d.FarNS < fadedLeast && d.KickNS >= answerLeast:
		b.right(f.id(), fmt.Sprintf(yawNothing, mode, output(f.output), f.slope(), d.By), f.span, f.figures())
	case d.FarNS < faintAnswer:
		f.nothing(b)
	default:
		b.unclear(f.id(), fmt.Sprintf(tooFew, mode, output(f.output), unit.FormatWidth(d.FarNS), f.slope(), d.Axis))
	}
}

func (f *fit) slope() string { return event.PerDegree(f.data.PerDegreeNS, f.data.PerDegreeWithinNS) }

// returns is for a mode in which nothing is to be left.
func (f *fit) returns(b *Book) {
	d, mode := f.data, text.ModeName(f.data.Mode)
	far := unit.FormatWidth(d.FarNS)
	switch {
	case d.FarNS < fadedLeast && d.KickNS < faintAnswer:
		f.nothing(b)
	case d.FarNS < fadedLeast && d.KickNS < answerLeast:
		b.unclear(f.id(), fmt.Sprintf(kickTooSmall, mode, output(f.output), unit.FormatWidth(d.KickNS)))
	case d.FarNS < fadedLeast:
		b.right(f.id(), fmt.Sprintf(nothingLeft, mode, output(f.output), unit.FormatWidth(d.KickNS), f.slope(), d.Axis, d.By), f.span, f.figures())
	case f.sure() && d.FarNS >= sureAnswer && d.Axis != sheet.Yaw:
		b.wrong(f.id(), fmt.Sprintf(somethingLeft, mode, output(f.output), far, f.slope(), d.Axis, d.By, outputsDoWords(sheet.DoesReturn)), f.span, f.figures())
	default:
		b.unclear(f.id(), fmt.Sprintf(leftUnsure, mode, output(f.output), far, f.slope(), d.Axis))
	}
}

// nothing is when a tilt moved nothing. Whoever typed the angle may have tilted nothing.
func (f *fit) nothing(b *Book) {
	d := f.data
	what := fmt.Sprintf(nothingAnswers, text.ModeName(d.Mode), d.Axis, output(f.output), unit.FormatWidth(max(d.FarNS, d.KickNS)), d.By,
		asleep(b.sheet, sleepsUntilThrottle))
	if d.By != event.RestFelt {
		b.unclear(f.id(), what+perhapsTypedOnly)
		return
	}
	b.wrong(f.id(), what+surelyTilted, f.span, f.figures())
}

// stays is for an answer in proportion.
func (f *fit) stays(b *Book) {
	d, mode := f.data, text.ModeName(f.data.Mode)
	stick, end, _ := b.sheet.Reference(d.Axis)
	moved, seen := deflectionOf(f.Sticks[d.Axis], f.output.Number)
	switch {
	case !seen:
		b.unclear(f.id(), stickNotSeen)
	case unit.Abs(moved.Late) < stickLeast:
		b.unclear(f.id(), unmoved(f.output, moved.Late))
	case f.way() > 0:
		b.right(f.id(), fmt.Sprintf(proportion, mode, output(f.output), f.slope(), d.Axis, stick.Name, end.Name, f.dead(), d.By), f.span, f.figures())
	default:
		b.wrong(f.id(), fmt.Sprintf(oppositeWay, mode, output(f.output), f.slope(), d.Axis, stick.Name, end.Name, f.cure(b), d.By), f.span, f.figures())
	}
}

// dead says how wide the dead band is.
func (f *fit) dead() string {
	if f.data.DeadMDeg == 0 {
		return fmt.Sprintf(noDeadBand, event.Degrees(f.data.DeadWithinMDeg))
	}
	return fmt.Sprintf(deadBandIs, event.Degrees(f.data.DeadMDeg), event.Degrees(f.data.DeadWithinMDeg))
}

// cure is what to do about a reversed answer: the setting of an axis turns all of its outputs over.
func (f *fit) cure(b *Book) string {
	ways := []int{}
	for _, o := range b.sheet.Corrected(f.data.Axis) {
		other := fit{degrees: f.degrees, data: f.Fits[degreesKey(f.data.Mode, f.data.Axis, o).id()], output: o}
		if other.data == nil {
			ways = append(ways, 0)
			continue
		}
		ways = append(ways, other.way())
	}
	switch {
	case slices.Contains(ways, 1):
		return fmt.Sprintf(reversedHereOnly, f.data.Axis)
	case slices.Contains(ways, 0):
		return fmt.Sprintf(othersNotKnown, f.data.Axis, f.data.Axis)
	}
	return fmt.Sprintf(reverseCorrection, f.data.Axis)
}
