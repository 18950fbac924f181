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

// What the builder reads of limit learning.
const (
	learningWanted  = "limits were learned by the steps of the sheet"
	learningDone    = "limits were learned: %s; what the receiver learned is not on the wire"
	learningDoubted = "%s: learn again"
	learningBroken  = "limit learning was begun and broken off: the limits are unknown until they are learned again"
	learningSetOff  = "limit learning was set off outside its drill: the limits are unknown until they are learned again"

	tookWanted   = "what was learned took: switched off and on, the receiver answers a tilt"
	tookNotOff   = "%s went on sending pulses, so the receiver was not switched off: cut its supply in the drill"
	tookAnswered = "switched off and on, outputs answered a tilt by up to %s (%s)%s"
	tookNothing  = "switched off and on, no output answered a tilt by more than %s (%s): gain at zero, the stabiliser off in this mode, " +
		"%slimit learning not completed, or nobody tilted; which of these can't be told from the leads"
	tookAfter     = "outputs answered a tilt by up to %s (%s), but that limits were learned was not seen right: drill %s first, then drill %s"
	tookLearnAnew = "the receiver was set to learn since: switch it off and on and tilt the model again"
)

// learning judges that limits were learned, and that it took. It accuses nobody: what was not done as the sheet has
// it is done again.
type learning struct {
	Begun  bool               `json:"begun"`  // it was, and not ended
	Before []event.OutputEnds `json:"before"` // how far outputs went before
	Since  []event.OutputEnds `json:"since"`  // how far they go since
	Off    bool               `json:"off"`    // the receiver was seen off in the drill learned

	starts string // the gesture that begins it, "" for a button or a menu
}

func newLearning(b *Book) *learning {
	l := &learning{starts: b.sheet.Learning.Steps[0].Gesture}
	b.add(FamilyLearning.of("done"), learningWanted, drilled(drill.LimitLearning))
	if len(b.drills.Plan(drill.Learned).Prompts) > 0 {
		b.add(FamilyLearning.of("took"), tookWanted, drilled(drill.Learned), TopicOutputs)
	}
	return l
}

func (l *learning) see(e *event.Event, b *Book) {
	span := event.Span{From: e.From, To: e.At}
	switch d := e.Data.(type) {
	case event.LimitsData:
		l.learned(&d, span, b)
	case event.GestureData:
		if d.Gesture == l.starts && believed(d.Signal, d.Suspect) {
			l.setOff(&d, b)
		}
	case event.DrillAnsweredData:
		l.answered(&d, span, b)
	case event.DrillEndedData:
		if l.Begun && e.About == event.AboutDrill.Called(drill.LimitLearning) {
			l.unknown(learningBroken, b)
		}
	}
}

// answered takes a step of either drill.
func (l *learning) answered(d *event.DrillAnsweredData, span event.Span, b *Book) {
	switch plan, ask := b.drills.Asked(d.Prompt); plan.Name {
	case drill.LimitLearning:
		l.Begun = l.Begun || ask.Act == drill.ActStart
	case drill.Learned:
		l.shown(&ask, d, span, b)
	}
}

// learned judges a procedure that was done to its end.
func (l *learning) learned(d *event.LimitsData, span event.Span, b *Book) {
	l.Begun, l.Before = false, d.Outputs
	b.doubt(FamilyLearning.ID("took"), tookLearnAnew)
	id := FamilyLearning.ID("done")
	if x := d.Doubted(); x != nil {
		b.doubt(id, fmt.Sprintf(learningDoubted, x.Doubt))
		return
	}
	b.right(id, fmt.Sprintf(learningDone, d.HowKnown()), span, map[string]int64{
		"seen": int64(len(d.Count(event.LearnedSeen))), "said": int64(len(d.Count(event.LearnedSaid))), "counted": int64(len(d.Count(event.LearnedCounted))),
	})
}

// setOff takes the gesture that begins it: in its drill it has begun, elsewhere nobody knows what the receiver
// learned of it.
func (l *learning) setOff(d *event.GestureData, b *Book) {
	if d.InDrill {
		l.Begun = true
		return
	}
	l.unknown(learningSetOff, b)
}

// unknown is when a procedure was begun and not followed to its end.
func (l *learning) unknown(why string, b *Book) {
	l.Begun = false
	b.doubt(FamilyLearning.ID("done"), why)
	b.doubt(FamilyLearning.ID("took"), why)
}

// shown takes a step of the drill that switches the receiver off and on.
func (l *learning) shown(ask *drill.Ask, d *event.DrillAnsweredData, span event.Span, b *Book) {
	switch ask.Act {
	case drill.ActUnplug:
		l.Since, l.Off = nil, false
	case drill.ActReplug:
		l.poweredUp(d, b)
	case drill.ActShow:
		for _, m := range d.Outputs {
			if d.By == "wire" && m.Pulses > 0 && m.EndMeanNS != 0 {
				l.Since = event.Takes(l.Since, m.Output, m.EndMeanNS)
			}
		}
	case drill.ActTilt:
		l.tilted(ask, d, span, b)
	}
}

// poweredUp looks whether the receiver was off.
func (l *learning) poweredUp(d *event.DrillAnsweredData, b *Book) {
	l.Off = true
	for _, o := range correcting(b.sheet) {
		if m := outputMove(d, o); m != nil && m.FirstNS != 0 && m.FirstNS < offLeast {
			l.Off = false
			b.unclear(FamilyLearning.ID("took"), fmt.Sprintf(tookNotOff, output(o)))
		}
	}
}

// tilted judges the quick tilt.
func (l *learning) tilted(ask *drill.Ask, d *event.DrillAnsweredData, span event.Span, b *Book) {
	id := FamilyLearning.ID("took")
	outputs := b.sheet.Corrected(ask.Axis)
	if !l.Off {
		return // it said why
	}
	if why := mistrust(d, outputs, b); why != "" {
		b.unclear(id, why)
		return
	}
	if does := outputsDo(b.sheet, d.Mode); does != sheet.DoesReturn && does != sheet.DoesStay {
		b.unclear(id, fmt.Sprintf("the bus asked for %s, in which nothing need answer", text.ModeName(d.Mode)))
		return
	}
	most := largest(tiltDeflections(d, outputs))
	if most < sureAnswer {
		b.unclear(id, fmt.Sprintf(tookNothing, unit.FormatWidth(most), whoTilted(d), asleep(b.sheet, waitsForThrottle)))
		return
	}
	if c := b.byID[FamilyLearning.ID("done")]; c.Verdict != VerdictRight {
		b.unclear(id, fmt.Sprintf(tookAfter, unit.FormatWidth(most), whoTilted(d), drill.LimitLearning, drill.Learned))
		return
	}
	b.right(id, fmt.Sprintf(tookAnswered, unit.FormatWidth(most), whoTilted(d), l.ends(b)), span, map[string]int64{"most_ns": int64(most)})
}

// ends says how far outputs went with sticks at the ends that were learned, before and since.
func (l *learning) ends(b *Book) string {
	var parts []string
	for _, now := range l.Since {
		o, ok := b.sheet.Output(now.Output)
		if !ok || now.MostNS-now.LeastNS < sureAnswer {
			continue // no stick of the procedure moves it
		}
		part := fmt.Sprintf("%s goes from %s to %s", output(o), unit.FormatWidth(now.LeastNS), unit.FormatWidth(now.MostNS))
		if i := slices.IndexFunc(l.Before, func(was event.OutputEnds) bool { return was.Output == now.Output }); i >= 0 {
			part += fmt.Sprintf(", before it was learned from %s to %s", unit.FormatWidth(l.Before[i].LeastNS), unit.FormatWidth(l.Before[i].MostNS))
		}
		parts = append(parts, part)
	}
	if len(parts) == 0 {
		return ""
	}
	return "; " + strings.Join(parts, "; ")
}
