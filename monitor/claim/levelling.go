package claim

import (
	"fmt"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of levelling, and of lying still after power-up.
const (
	levelWanted = "level was learned with the model on %s, still for %s on each"
	levelDone   = "level was learned: %s; what the receiver learned is not on the wire"
	levelMoved  = "on %s it was not still: an output that answers went by %s meanwhile; do the drill again, and touch nothing"
	levelBroken = "levelling was begun and broken off: the level is unknown until it is learned again"
	stillWanted = "switched on with the model lying still, outputs rest within %s and stay there"
	stillRested = "switched on, outputs rested within %s of their first pulse and stayed there for %s: %s"
	stillLate   = "%s came to rest only %s after its first pulse: the model was disturbed, or this receiver takes longer than the sheet's %s; " +
		"do the drill again, and touch nothing"
	stillNotOff    = "%s went on sending pulses, so the receiver was not switched off: cut its supply in the drill"
	stillNotHeard  = "%s sent no pulses after the receiver was switched on, or stopped again: look at its lead"
	stillSeenBy    = "a model that moved would have shown, since outputs answer in %s"
	stillNotSeenBy = "counted, not seen: that outputs answer in %s was not seen right"
)

// offLeast is for how long an output was silent, if the supply was really cut.
const offLeast = 300 * unit.Millisecond

// levelling judges that the model lay still while the receiver learned level, and after power-up. It accuses
// nobody: what was not still is done again.
type levelling struct {
	Begun bool `json:"begun"` // levelling was, and not ended
}

func newLevelling(b *Book) *levelling {
	l := b.sheet.Levelling
	b.add(FamilyLevelling.of("rested"), fmt.Sprintf(levelWanted, text.And(l.Sides), unit.FormatDuration(l.Rests)),
		Action{Do: DoDrill, Drill: drill.Levelling})
	if len(b.drills.Plan(drill.KeepStill).Prompts) > 0 {
		b.add(FamilyLevelling.of("after-power-up"), fmt.Sprintf(stillWanted, unit.FormatDuration(l.AfterPowerUp)),
			Action{Do: DoDrill, Drill: drill.KeepStill}, TopicOutputs)
	}
	return &levelling{}
}

func (l *levelling) see(e *event.Event, b *Book) {
	switch d := e.Data.(type) {
	case event.LevelData:
		l.Begun = false
		l.learned(&d, event.Span{From: e.From, To: e.At}, b)
	case event.DrillAnsweredData:
		switch plan, ask := b.drills.Asked(d.Prompt); {
		case plan.Name == drill.Levelling && ask.Act == drill.ActStart:
			l.Begun = true
		case plan.Name == drill.KeepStill && ask.Act == drill.ActReplug:
			l.poweredUp(&d, event.Span{From: e.From, To: e.At}, b)
		}
	case event.DrillEndedData:
		if l.Begun && e.About == event.AboutDrill.Called(drill.Levelling) {
			l.Begun = false
			b.doubt(FamilyLevelling.ID("rested"), levelBroken)
		}
	}
}

// learned judges a levelling that was done to its end.
func (l *levelling) learned(d *event.LevelData, span event.Span, b *Book) {
	id, counted := FamilyLevelling.ID("rested"), int64(0)
	var parts []string
	for _, s := range d.Sides {
		if s.Still == event.StillMoved {
			b.doubt(id, fmt.Sprintf(levelMoved, s.Side, unit.FormatWidth(s.StrayNS)))
			return
		}
		if s.Still == event.StillCounted {
			counted++
		}
		parts = append(parts, fmt.Sprintf("%s for %s, %s", s.Side, unit.FormatDuration(s.LastsNS), event.StillWords[s.Still]))
	}
	b.right(id, fmt.Sprintf(levelDone, text.And(parts)), span, map[string]int64{"sides": int64(len(d.Sides)), "counted": counted})
}

// poweredUp judges when outputs came to rest.
func (l *levelling) poweredUp(d *event.DrillAnsweredData, span event.Span, b *Book) {
	id, wants := FamilyLevelling.ID("after-power-up"), b.sheet.Levelling.AfterPowerUp
	lasts := span.To.Sub(span.From)
	late, stood := unit.Duration(0), lasts
	for _, o := range correcting(b.sheet) {
		m := outputMove(d, o)
		switch {
		case m == nil || m.FirstNS == 0 || m.StoodNS == 0:
			b.unclear(id, fmt.Sprintf(stillNotHeard, output(o)))
			return
		case m.FirstNS < offLeast:
			b.unclear(id, fmt.Sprintf(stillNotOff, output(o)))
			return
		}
		rested := max(0, lasts-m.FirstNS-m.StoodNS)
		if rested > wants {
			b.doubt(id, fmt.Sprintf(stillLate, output(o), unit.FormatDuration(rested), unit.FormatDuration(wants)))
			return
		}
		late, stood = max(late, rested), min(stood, m.StoodNS)
	}
	how := stillNotSeenBy
	if does := outputsDo(b.sheet, d.Mode); does == sheet.DoesReturn || does == sheet.DoesStay {
		if c := b.byID[FamilyResponse.ID(d.Mode)]; c != nil && c.Verdict == VerdictRight {
			how = stillSeenBy
		}
	}
	b.right(id, fmt.Sprintf(stillRested, unit.FormatDuration(late), unit.FormatDuration(stood), fmt.Sprintf(how, text.ModeName(d.Mode))), span,
		map[string]int64{"rested_ns": int64(late), "stood_ns": int64(stood)})
}

// outputMove is what an output did, nil where nothing is known of it.
func outputMove(d *event.DrillAnsweredData, o *sheet.Output) *event.OutputMove {
	for i := range d.Outputs {
		if d.Outputs[i].Output == o.Number {
			return &d.Outputs[i]
		}
	}
	return nil
}
