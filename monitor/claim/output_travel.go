package claim

import (
	"fmt"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of the travel that is wanted of an output.
const (
	goesAsWanted   = "%s goes from %s to %s, and no farther"
	wentAsWanted   = "%s went as far as is wanted, to %s and to %s, each within %s, and no farther"
	oneEndWanted   = "%s went to %s: hold all that moves it at its other ends, too, for a second"
	standsShort    = "%s stood at %s with all that moves it at its ends, %s short of the %s that is wanted: %s"
	standsBeyond   = "%s stood at %s, %s beyond the %s that is wanted, where a surface binds or a servo stalls: %s"
	wentBeyond     = "%s went to %s, %s beyond the %s that is wanted, %s: see first where it stands with its sticks held at their ends"
	whileMoving    = "while something moved"
	whileLevelling = "in a mode in which sticks do not move it themselves"
	shortIsLimit   = "the receiver cuts it off there: learn the limits anew, with full rates"
	shortElsewhere = "its channels reach their ends on the bus, so make its travel greater in the receiver, or learn the limits " +
		"anew with full rates; which of the two can't be told"
	shortStuck     = "it hardly leaves its middle: see first whether it moves with its channels at all"
	pastItsEnd     = "%s goes past its own end: make that end of its travel smaller in the transmitter"
	beyondReceiver = "make its travel smaller in the receiver, or learn the limits anew; which of the two can't be told"
)

// outputTravel judges how far an output goes against the travel that the sheet wants. Only
// where sticks command surfaces, and what moves it stands, is it accused.
type outputTravel struct {
	output  *sheet.Output
	Reached [2]bool `json:"reached"` // the narrow end, the wide one
	Clipped [2]bool `json:"clipped"` // the receiver was seen to cut it off there
}

func newOutputTravel(b *Book, o *sheet.Output) *outputTravel {
	from, to := unit.FormatWidth(o.Travel.From), unit.FormatWidth(o.Travel.To)
	b.add(FamilyEnds.ofOutput(o), fmt.Sprintf(goesAsWanted, output(o), from, to), Action{Do: DoBothEnds}, topicsOf(b, o)...)
	return &outputTravel{output: o}
}

func (j *outputTravel) see(e *event.Event, b *Book) {
	if e.About != about(j.output) {
		return
	}
	span := event.Span{From: e.From, To: e.At}
	switch d := e.Data.(type) {
	case event.OutputClipData:
		j.Clipped[side(d.Upper)] = true
	case event.OutputReachedData:
		if commanded(b.sheet, d.Mode) {
			j.reached(&d, span, b)
		}
	case event.OutputBeyondData:
		j.beyond(&d, span, b)
	}
}

// side is the place of an end in a pair.
func side(upper bool) int {
	if upper {
		return 1
	}
	return 0
}

func (j *outputTravel) reached(d *event.OutputReachedData, span event.Span, b *Book) {
	id, tolerance := FamilyEnds.ID(about(j.output)), b.sheet.Tolerance.Position
	figures := map[string]int64{"width_ns": int64(d.WidthNS), "short_ns": int64(d.ShortNS)}
	switch {
	case d.ShortNS > tolerance:
		cure := shortElsewhere
		switch {
		case d.ShortNS > (j.output.Travel.To-j.output.Travel.From)*2/5:
			cure = shortStuck
		case j.Clipped[side(d.Upper)]:
			cure = shortIsLimit
		}
		b.wrong(id, fmt.Sprintf(standsShort, output(j.output), unit.FormatWidth(d.WidthNS), unit.FormatWidth(d.ShortNS),
			unit.FormatWidth(d.WantedNS), cure), span, figures)
	case d.ShortNS >= -tolerance:
		j.Reached[side(d.Upper)] = true
		if j.Reached != [2]bool{true, true} {
			b.unclear(id, fmt.Sprintf(oneEndWanted, output(j.output), unit.FormatWidth(d.WidthNS)))
			return
		}
		b.right(id, fmt.Sprintf(wentAsWanted, output(j.output), unit.FormatWidth(j.output.Travel.From),
			unit.FormatWidth(j.output.Travel.To), unit.FormatWidth(tolerance)), span, figures)
	}
}

func (j *outputTravel) beyond(d *event.OutputBeyondData, span event.Span, b *Book) {
	id, by := FamilyEnds.ID(about(j.output)), unit.Abs(d.WidthNS-d.WantedNS)
	at, wanted := unit.FormatWidth(d.WidthNS), unit.FormatWidth(d.WantedNS)
	if d.Held && commanded(b.sheet, d.Mode) {
		b.wrong(id, fmt.Sprintf(standsBeyond, output(j.output), at, unit.FormatWidth(by), wanted, beyondCure(d, b)), span,
			map[string]int64{"width_ns": int64(d.WidthNS), "short_ns": -int64(by)})
		return
	}
	why := whileMoving
	if !commanded(b.sheet, d.Mode) {
		why = whileLevelling
	}
	j.Reached = [2]bool{}
	b.doubt(id, fmt.Sprintf(wentBeyond, output(j.output), at, unit.FormatWidth(by), wanted, why))
}

// beyondCure is where the travel is made smaller: in the transmitter if a channel is past its end.
func beyondCure(d *event.OutputBeyondData, b *Book) string {
	var names []string
	for _, c := range d.Past {
		names = append(names, name(b, c))
	}
	if len(names) > 0 {
		return fmt.Sprintf(pastItsEnd, text.And(names))
	}
	return beyondReceiver
}

func (j *outputTravel) forget(what string, _ unit.Time) {
	if what == TopicAll || what == TopicOutputs {
		j.Reached, j.Clipped = [2]bool{}, [2]bool{}
	}
}
