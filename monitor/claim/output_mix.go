package claim

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of an output's mix and travel.
const (
	movedByOnly    = "%s is moved by %s and by nothing else"
	goesWithSticks = "%s goes as far as its sticks do, and nothing cuts it off"
	stillToBeMoved = "%s: still to be moved to both ends, each alone: %s"
	movesOtherWay  = "%s moves by %s of %s, the other way from the sheet's %s: %s"
	movesByOther   = "%s moves by %s of %s; the sheet wants %s: %s"
	movesUnnamed   = "%s moves by %s of %s, which the sheet does not name for it: %s"
	directionOpen  = "the sheet leaves the direction open: look whether the surface goes the right way, and write that " +
		"number into the sheet"
	movesByNoOther = "%s moves by %s, %s, and by no other stick%s"
	wentToEnds     = "%s went from %s to %s with its sticks at their ends, and nothing cut it off"
	flatByLittle   = "%s stood flat at %s, and %s would have taken it %s farther: that is little, and %s is not seen " +
		"free of a limit of its own yet: do the drill ends first"
	cutOffByReceiver = "%s stood flat at %s while %s went on by what would be %s more: the receiver cuts it off there, " +
		"not the transmitter; learn the limits anew, or make the travel smaller"
)

const (
	// A slope is right within a fifth of what the sheet says or within 0.05 of
	// its channel's travel, whichever is more: linkages are set on the bench.
	slopeShare = 5
	slopeLeast = 50_000 // ppm
	// littleBeyond is how far channels must have gone on, ns, until no slope that is a little
	// off can feign it.
	littleBeyond = 40_000
	// reached is how much of the way from end to end an output must have gone, %.
	reached = 90
)

// moves judges what moves an output, and how far. It looks at modes in which
// sticks command surfaces; where a stabiliser holds an attitude, they command that.
type moves struct {
	output *sheet.Output
	// Clips are the ends at which it was seen clipped: wide and narrow.
	Clips [2]bool `json:"clips"`
}

func newMoves(b *Book, o *sheet.Output) *moves {
	topics := topicsOf(b, o)
	b.add(FamilyMoves.ofOutput(o), fmt.Sprintf(movedByOnly, output(o), movers(b, o)),
		Action{Do: DoMix}, topics...)
	b.add(FamilyTravel.ofOutput(o), fmt.Sprintf(goesWithSticks, output(o)),
		Action{Do: DoMix}, topics...)
	return &moves{output: o}
}

func (m *moves) see(e *event.Event, b *Book) {
	if e.About != about(m.output) {
		return
	}
	span := event.Span{From: e.From, To: e.At}
	switch d := e.Data.(type) {
	case event.OutputFollowsData:
		if commanded(b.sheet, d.Mode) {
			m.follows(&d, span, b)
			m.travel(&d, span, b)
		}
	case event.OutputClipData:
		m.clipped(&d, span, b)
	}
}

// commanded reports whether sticks move surfaces themselves in a mode. Where the
// sheet says of no mode what it does, all count.
func commanded(s *sheet.Sheet, mode string) bool {
	if s.Stabiliser == nil {
		return true
	}
	declared := false
	for i := range s.Stabiliser.Modes {
		declared = declared || s.Stabiliser.Modes[i].Does != ""
	}
	d := outputsDo(s, mode)
	return !declared || d == sheet.DoesNothing || d == sheet.DoesReturn
}

func (m *moves) follows(d *event.OutputFollowsData, span event.Span, b *Book) {
	figures := map[string]int64{"delay_ns": int64(d.DelayNS), "neutral_ns": int64(d.NeutralNS)}
	for _, t := range d.Terms {
		figures[fmt.Sprintf("channel_%d_ppm", t.Channel)] = t.PPM
	}
	id := FamilyMoves.ID(about(m.output))
	for _, t := range d.Terms {
		if why := m.against(t, d, b); why != "" {
			b.wrong(id, why, span, figures)
			return
		}
	}
	if lacking := m.lacking(d, b); len(lacking) > 0 {
		b.unclear(id, fmt.Sprintf(stillToBeMoved, output(m.output), strings.Join(lacking, ", ")))
		return
	}
	b.right(id, m.sentence(d, b), span, figures)
}

// lacking names the sticks that have not moved far enough yet, each alone.
func (m *moves) lacking(d *event.OutputFollowsData, b *Book) (names []string) {
	for _, w := range m.output.MovedBy {
		if t, ok := term(d, w.Channel); !ok || t.HalfIntervalPPM > slopeLeast {
			names = append(names, name(b, w.Channel))
		}
	}
	for _, c := range d.Unmoved {
		if ch, ok := b.sheet.Channel(c); ok && (ch.Kind == sheet.Stick || ch.Kind == sheet.Throttle) && !m.movedBy(c) {
			names = append(names, ch.Name)
		}
	}
	return names
}

// against says why a slope is not what the sheet wants, "" where it is or where
// that is not sure.
func (m *moves) against(t event.MixTerm, d *event.OutputFollowsData, b *Book) string {
	surely := unit.Abs(t.PPM) - t.HalfIntervalPPM
	for _, w := range m.output.MovedBy {
		if w.Channel != t.Channel {
			continue
		}
		off, allowed := unit.Abs(t.PPM-w.Weight)-t.HalfIntervalPPM, max(unit.Abs(w.Weight)/slopeShare, slopeLeast)
		switch {
		case w.Find || off <= allowed:
			return ""
		case surely > 0 && (t.PPM < 0) != (w.Weight < 0):
			return fmt.Sprintf(movesOtherWay,
				output(m.output), weight(t.PPM), name(b, t.Channel), weight(w.Weight), m.turned(d, b))
		}
		cure := "look at the mix and the travel of that output in the receiver"
		if twin := m.twin(d, b); twin != nil {
			cure = exchanged(twin)
		}
		return fmt.Sprintf(movesByOther, output(m.output), weight(t.PPM), name(b, t.Channel), weight(w.Weight), cure)
	}
	if surely <= slopeLeast {
		return ""
	}
	return fmt.Sprintf(movesUnnamed, output(m.output), weight(t.PPM), name(b, t.Channel), m.instead(t, d, b))
}

func (m *moves) sentence(d *event.OutputFollowsData, b *Book) string {
	var parts []string
	eye := ""
	for _, w := range m.output.MovedBy {
		t, _ := term(d, w.Channel)
		parts = append(parts, fmt.Sprintf("%s of %s", weight(t.PPM), name(b, w.Channel)))
		if w.Find {
			eye = "; " + directionOpen
		}
	}
	return fmt.Sprintf(movesByNoOther,
		output(m.output), text.And(parts), event.DelayText(d.DelayNS), eye)
}

// travel looks whether the output went as far as what it was found to follow takes it.
func (m *moves) travel(d *event.OutputFollowsData, span event.Span, b *Book) {
	low, high := d.MostNS, d.LeastNS
	for _, w := range m.output.MovedBy {
		t, ok := term(d, w.Channel)
		c, known := b.sheet.Channel(w.Channel)
		if !ok || !known {
			return
		}
		for _, p := range ends(c) {
			at := d.NeutralNS + (p.Width - middleOf(c)).Share(t.PPM)
			low, high = min(low, at), max(high, at)
		}
	}
	near := (high - low) * (100 - reached) / 200
	cut := m.Clips != [2]bool{} || d.LowNS != 0 || d.HighNS != 0
	if cut || d.LeastNS > low+near || d.MostNS < high-near {
		return
	}
	least, most := unit.FormatWidth(d.LeastNS), unit.FormatWidth(d.MostNS)
	b.right(FamilyTravel.ID(about(m.output)), fmt.Sprintf(wentToEnds, output(m.output), least, most),
		span, map[string]int64{"least_ns": int64(d.LeastNS), "most_ns": int64(d.MostNS)})
}

// ends are the places between which a control is moved: a throttle's without its
// cut, where it has an idle.
func ends(c *sheet.Channel) []sheet.Place {
	if _, idles := c.Place("idle"); !idles || c.Kind != sheet.Throttle {
		return c.Places
	}
	return slices.DeleteFunc(slices.Clone(c.Places), func(p sheet.Place) bool { return p.Name == "cut" })
}

// middleOf is the width of a channel at which event.OutputFollowsData has its neutral.
func middleOf(c *sheet.Channel) unit.Width {
	if c.Neutral == 0 && len(c.Places) > 0 {
		return c.Places[0].Width
	}
	return c.Neutral
}

func (m *moves) clipped(d *event.OutputClipData, span event.Span, b *Book) {
	var names []string
	for _, c := range d.Channels {
		names = append(names, name(b, c))
	}
	stood, beyond := unit.FormatWidth(d.WidthNS), unit.FormatWidth(d.BeyondNS)
	if own := m.ownEnd(d, b); own != "" {
		b.unclear(FamilyTravel.ID(about(m.output)), fmt.Sprintf(flatByLittle,
			output(m.output), stood, text.And(names), beyond, own))
		return
	}
	end := 0
	if d.Upper {
		end = 1
	}
	m.Clips[end] = true
	b.wrong(FamilyTravel.ID(about(m.output)), fmt.Sprintf(cutOffByReceiver,
		output(m.output), stood, text.And(names), beyond), span,
		map[string]int64{"width_ns": int64(d.WidthNS), "beyond_ns": int64(d.BeyondNS)})
}

// ownEnd names a channel that may have stood at a limit of its own while the output stood
// flat, by little: a slope that is off by a twentieth says as much. "" where there is none.
func (m *moves) ownEnd(d *event.OutputClipData, b *Book) string {
	if d.BeyondNS >= littleBeyond {
		return ""
	}
	for _, c := range d.Channels {
		if k, claimed := b.byID[FamilyClip.ID(name(b, c))]; claimed && k.Verdict != VerdictRight {
			return name(b, c)
		}
	}
	return ""
}

// forget is for what was changed since.
func (m *moves) forget(what string, _ unit.Time) {
	if what == TopicAll || what == TopicOutputs {
		m.Clips = [2]bool{}
	}
}

func (m *moves) movedBy(channel int) bool {
	for _, w := range m.output.MovedBy {
		if w.Channel == channel {
			return true
		}
	}
	return false
}

func term(d *event.OutputFollowsData, channel int) (event.MixTerm, bool) {
	for _, t := range d.Terms {
		if t.Channel == channel {
			return t, true
		}
	}
	return event.MixTerm{}, false
}

// name is that of a channel, or its number where the sheet has none.
func name(b *Book, channel int) string {
	if c, ok := b.sheet.Channel(channel); ok {
		return c.Name
	}
	return fmt.Sprintf("channel %d", channel)
}
