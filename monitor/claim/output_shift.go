package claim

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of where an output rests from mode to mode.
const (
	restsInAll  = "%s rests within %s of the same place in every mode"
	restedInAll = "%s rested in each wanted mode, and jumped by %s at most from one to another"
	restStill   = "%s jumped by %s at most so far: still to be rested in, sticks let go: %s"
	jumpsTooFar = "%s jumps by %s when %s takes the place of %s: %s"
	jumpsHeld   = "%s jumps by %s when %s takes the place of %s, but outputs of a mode that holds an attitude follow " +
		"how the model lies: level it, then look again"
	jumpByChannels = "its channels ask for %s of that, so see the trims and mixes of the transmitter in that mode"
	jumpByReceiver = "its channels stand, so see the neutral of that output in the receiver, its level, or learn the limits " +
		"anew; which of them can't be told"
)

// outputShift judges the jumps of a resting output when the mode changes. Where a mode holds
// an attitude, a model that does not lie level looks the same as a neutral that shifts.
type outputShift struct {
	output *sheet.Output
	Modes  []string   `json:"modes"`   // rested in, each beside another that was too
	Most   unit.Width `json:"most_ns"` // the farthest jump that was within the limit
}

func newOutputShift(b *Book, o *sheet.Output) *outputShift {
	b.add(FamilyShift.ofOutput(o), fmt.Sprintf(restsInAll, output(o), unit.FormatWidth(b.sheet.Stabiliser.Shift)),
		Action{Do: DoRestInModes}, topicsOf(b, o)...)
	return &outputShift{output: o}
}

// stickMoves reports that a stick moves an output: it has a neutral.
func stickMoves(s *sheet.Sheet, o *sheet.Output) bool {
	return slices.ContainsFunc(o.MovedBy, func(m sheet.Movement) bool {
		c, ok := s.Channel(m.Channel)
		return ok && c.Kind == sheet.Stick
	})
}

func (j *outputShift) see(e *event.Event, b *Book) {
	d, ok := e.Data.(event.OutputShiftedData)
	if !ok || e.About != about(j.output) || d.Mode == d.WasMode || d.Mode == "" || d.WasMode == "" {
		return
	}
	id, by := FamilyShift.ID(about(j.output)), unit.Abs(d.Shift())
	jump, now, was := unit.FormatWidth(by), text.ModeName(d.Mode), text.ModeName(d.WasMode)
	span := event.Span{From: e.From, To: e.At}
	switch {
	case by <= b.sheet.Stabiliser.Shift:
		j.within(&d, span, b)
	case commanded(b.sheet, d.Mode) && commanded(b.sheet, d.WasMode):
		b.wrong(id, fmt.Sprintf(jumpsTooFar, output(j.output), jump, now, was, shiftCure(&d)), span,
			map[string]int64{"shift_ns": int64(d.Shift()), "asked_ns": int64(d.AskedNS)})
	default:
		j.Modes = slices.DeleteFunc(j.Modes, func(m string) bool { return m == d.Mode || m == d.WasMode })
		b.doubt(id, fmt.Sprintf(jumpsHeld, output(j.output), jump, now, was))
	}
}

// shiftCure is where a jump comes from: the transmitter if its channels ask for half of it.
func shiftCure(d *event.OutputShiftedData) string {
	if 2*unit.Abs(d.AskedNS) >= unit.Abs(d.Shift()) {
		return fmt.Sprintf(jumpByChannels, unit.FormatWidth(unit.Abs(d.AskedNS)))
	}
	return jumpByReceiver
}

// within takes a jump that is small enough.
func (j *outputShift) within(d *event.OutputShiftedData, span event.Span, b *Book) {
	j.Most = max(j.Most, unit.Abs(d.Shift()))
	for _, m := range []string{d.Mode, d.WasMode} {
		if !slices.Contains(j.Modes, m) {
			j.Modes = append(j.Modes, m)
		}
	}
	var still []string
	for i := range b.sheet.Stabiliser.Modes {
		m := &b.sheet.Stabiliser.Modes[i]
		if len(m.WantedAt) > 0 && !slices.Contains(j.Modes, m.Name) {
			still = append(still, text.ModeName(m.Name))
		}
	}
	id, most := FamilyShift.ID(about(j.output)), unit.FormatWidth(j.Most)
	if len(still) > 0 {
		b.unclear(id, fmt.Sprintf(restStill, output(j.output), most, text.And(still)))
		return
	}
	b.right(id, fmt.Sprintf(restedInAll, output(j.output), most), span, map[string]int64{"shift_ns": int64(j.Most)})
}

func (j *outputShift) forget(what string, _ unit.Time) {
	if what == TopicAll || what == TopicOutputs {
		j.Modes, j.Most = nil, 0
	}
}
