package claim

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of a gain series.
const (
	claimsLaw    = "how the answers in %s follow %s is known, as the stabiliser has it"
	claimsNoGain = "with %s at %s, no gain, nothing answers a tilt in %s"
	claimsFull   = "with %s at %s, full gain, a tilt is answered most in %s"

	lawIs   = "in %s, about %s, µs a degree with %s at %s: %s (%s)%s"
	lawOpen = "in %s, about %s, how the answers follow %s can't be told: %s%s"
	swung   = "; with it at %s an output swung by itself: that is too much, even there, or something is loose"

	seriesOpen  = "with %s at %s: %s"
	noneAnswers = "with %s at %s, no gain, the answer is %s, of %s where it is most"
	someAnswers = noneAnswers + ": what the sheet has as no gain is none to the stabiliser: correct gain.zero in the sheet by the receiver's manual, or the " +
		"knob's end on channel %d in the transmitter"
	noneUnsure = noneAnswers + ": whether that is none can't be told; read the angles more closely"
	fullMost   = "with %s at %s, full gain, the answer is %s, and nowhere more"
	moreThan   = "with %s at %s, full gain, the answer is %s, and at %s it is %s: what the sheet has as full gain is not the most to the stabiliser: " +
		"correct gain.full in the sheet by the receiver's manual, or the knob's end on channel %d in the transmitter"
	fullUnsure = "with %s at %s, full gain, the answer is %s, and which place answers most can't be told; read the angles more closely"
	noPlace    = "the knob was not measured there"
)

const (
	gainEndPPM  = 30_000  // how near no or full gain by the law a place is that is at it: what a hand and a tolerance leave
	gainLessPPM = 400_000 // with less gain than this full gain must answer surely more
	noneShare   = 20      // an answer below this part of the most is none, above twice as much it is one
)

// gainSeries judges how the answers of the stabiliser follow the gain knob: that it is known, that none comes where the
// sheet has no gain, and the most where it has all of it. Which gain is right it never says.
type gainSeries struct {
	Running bool         `json:"running"` // the drill is under way
	Swung   []unit.Width `json:"swung"`   // where the gain stood when an output swung in it

	knob *sheet.Channel
	mode *sheet.Mode
	none *unit.Width // where the knob's turn reaches no gain, nil: nowhere
	full *unit.Width // and full gain, at the last of such places
}

func newGainSeries(b *Book) *gainSeries {
	g := &gainSeries{Swung: []unit.Width{}, knob: b.sheet.GainKnob(), mode: b.sheet.Answering()}
	if len(b.drills.Plan(drill.GainSeries).Prompts) == 0 {
		return g
	}
	for _, end := range g.knob.Places {
		at := end.Width
		switch share := b.sheet.Gain.Share(at); {
		case share <= gainEndPPM:
			g.none = &at
		case share >= 1_000_000-gainEndPPM:
			g.full = &at
		}
	}
	mode := text.ModeName(g.mode.Name)
	g.add(b, "law", fmt.Sprintf(claimsLaw, mode, g.knob.Name))
	if g.none != nil {
		g.add(b, "none", fmt.Sprintf(claimsNoGain, g.knob.Name, unit.FormatWidth(*g.none), mode))
	}
	if g.full != nil {
		g.add(b, "full", fmt.Sprintf(claimsFull, g.knob.Name, unit.FormatWidth(*g.full), mode))
	}
	return g
}

func (g *gainSeries) add(b *Book, part, claims string) {
	b.add(key{FamilyGain, []string{part}, g.knob.Number, 0}, claims, drilled(drill.GainSeries), tiltTopics(b)...)
}

func (g *gainSeries) see(e *event.Event, b *Book) {
	switch d := e.Data.(type) {
	case event.DrillBeganData:
		if g.Running = e.About == event.AboutDrill.Called(drill.GainSeries); g.Running {
			g.Swung = []unit.Width{}
		}
	case event.DrillEndedData:
		g.Running = false
	case event.OutputUnsteadyData:
		if g.Running && e.Kind == event.OutputUnsteady && !slices.Contains(g.Swung, d.GainNS) {
			g.Swung = append(g.Swung, d.GainNS)
		}
	case event.GainMeasuredData:
		span := event.Span{From: e.From, To: e.At}
		g.law(&d, span, b)
		g.atNone(&d, span, b)
		g.atFull(&d, span, b)
	}
}

// law is how the answers follow the knob, and where an output swung.
func (g *gainSeries) law(d *event.GainMeasuredData, span event.Span, b *Book) {
	id, swings := FamilyGain.ID("law"), ""
	if len(g.Swung) > 0 {
		list := make([]string, 0, len(g.Swung))
		for _, at := range g.Swung {
			list = append(list, unit.FormatWidth(at))
		}
		swings = fmt.Sprintf(swung, strings.Join(list, ", "))
	}
	mode := text.ModeName(d.Mode)
	if d.Law == event.GainUnknown {
		b.unclear(id, fmt.Sprintf(lawOpen, mode, d.Axis, g.knob.Name, d.Why, swings))
		return
	}
	figures := map[string]int64{}
	if most := d.Most(); most != nil {
		figures["most_ns"], figures["most_at_ns"] = int64(most.PerDegreeNS), int64(most.GainNS)
	}
	b.right(id, fmt.Sprintf(lawIs, mode, d.Axis, g.knob.Name, d.PlacesText(), d.LawText(), d.By, swings), span, figures)
}

// place is that of a width, with the one that answers most; nil where it has no figures, or nothing has.
func (g *gainSeries) place(id string, d *event.GainMeasuredData, width *unit.Width, b *Book) (at, most *event.GainPlace) {
	if width == nil {
		return nil, nil
	}
	why := noPlace
	for i := range d.Places {
		p := &d.Places[i]
		switch near := unit.Abs(p.GainNS-*width) <= b.sheet.Tolerance.Position; {
		case near && p.Why == "" && d.Why == "":
			return p, d.Most()
		case near && p.Why != "":
			why = p.Why
		case near:
			why = d.Why
		}
	}
	b.unclear(id, fmt.Sprintf(seriesOpen, g.knob.Name, unit.FormatWidth(*width), why))
	return nil, nil
}

func perDegree(p *event.GainPlace) string { return event.PerDegree(p.PerDegreeNS, p.PerDegreeWithinNS) }

// atNone judges the place at which nothing is to answer.
func (g *gainSeries) atNone(d *event.GainMeasuredData, span event.Span, b *Book) {
	id := FamilyGain.ID("none")
	at, most := g.place(id, d, g.none, b)
	if at == nil {
		return
	}
	figures := map[string]int64{"per_degree_ns": int64(at.PerDegreeNS), "per_degree_within_ns": int64(at.PerDegreeWithinNS)}
	is := []any{g.knob.Name, unit.FormatWidth(at.GainNS), perDegree(at), perDegree(most)}
	switch part := unit.Abs(most.PerDegreeNS) / noneShare; {
	case unit.Abs(at.PerDegreeNS)+at.PerDegreeWithinNS <= part:
		b.right(id, fmt.Sprintf(noneAnswers, is...), span, figures)
	case unit.Abs(at.PerDegreeNS)-at.PerDegreeWithinNS > 2*part:
		b.wrong(id, fmt.Sprintf(someAnswers, append(is, g.knob.Number)...), span, figures)
	default:
		b.unclear(id, fmt.Sprintf(noneUnsure, is...))
	}
}

// atFull judges the place at which the most is to answer.
func (g *gainSeries) atFull(d *event.GainMeasuredData, span event.Span, b *Book) {
	id := FamilyGain.ID("full")
	at, most := g.place(id, d, g.full, b)
	if at == nil {
		return
	}
	surely := true // more than all places with much less gain
	for i := range d.Places {
		p := &d.Places[i]
		if p.Why == "" && p.SharePPM < gainLessPPM {
			surely = surely && at.PerDegreeNS-at.PerDegreeWithinNS > p.PerDegreeNS+p.PerDegreeWithinNS
		}
	}
	figures := map[string]int64{"per_degree_ns": int64(at.PerDegreeNS), "per_degree_within_ns": int64(at.PerDegreeWithinNS)}
	is := []any{g.knob.Name, unit.FormatWidth(at.GainNS), perDegree(at)}
	switch more := most.PerDegreeNS - at.PerDegreeNS; {
	case more > most.PerDegreeWithinNS+at.PerDegreeWithinNS+unit.Abs(most.PerDegreeNS)/noneShare:
		b.wrong(id, fmt.Sprintf(moreThan, append(is, unit.FormatWidth(most.GainNS), perDegree(most), g.knob.Number)...), span, figures)
	case surely:
		b.right(id, fmt.Sprintf(fullMost, is...), span, figures)
	default:
		b.unclear(id, fmt.Sprintf(fullUnsure, is...))
	}
}

func (g *gainSeries) forget(string, unit.Time) { g.Swung = []unit.Width{} }
