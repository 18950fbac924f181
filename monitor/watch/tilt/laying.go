package tilt

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// agree is how far the axes that three tilts show may lie apart, hundredths of a degree: hands
// tilt a model about an axis to some ten degrees (from memory).
const agree = 2500

// Laying holds what the phone sees against what the drill of its laying asks for: tail, left wing
// and nose raised. A phone that lies the wrong way round and a nose raised for a tail look the
// same, so what disagrees is asked about, and nothing is fitted to it.
type Laying struct {
	Tap    uint8
	Prompt string    // that stood
	Since  unit.Time // its date
	Ask    drill.Ask // of it
	Raised []event.TiltSeen
}

// See implements base.Watcher.
func (w *Laying) See(o *event.Observation, v *base.View, emit event.Emit) {
	if v.Prompt == w.Prompt && v.PromptAt == w.Since {
		return
	}
	ask, since, again := w.Ask, w.Since, v.Prompt == w.Prompt
	w.Prompt, w.Since, w.Ask = v.Prompt, v.PromptAt, v.Ask()
	if !v.Plan().Phone {
		w.Raised = nil
	}
	if tilts := ask.Act == drill.ActTilt || ask.Act == drill.ActOpposite; !tilts || again || w.Raised == nil && !v.Plan().Phone {
		return
	}
	seen := v.Seen(ask, since, o.At)
	if seen == nil {
		seen = &event.TiltSeen{Tap: v.Taps[w.Tap].Name, Sight: attitude.SightUnknown}
	}
	w.Raised = slices.DeleteFunc(w.Raised, func(s event.TiltSeen) bool { return s.Asked == seen.Asked }) // it was done anew
	w.Raised = append(w.Raised, *seen)
	if ask.Act == drill.ActOpposite {
		w.judge(o.At, v, emit)
	}
}

// judge follows the last of the three.
func (w *Laying) judge(at unit.Time, v *base.View, emit event.Emit) {
	p := v.Taps[w.Tap].Phone
	d := event.TiltLaidData{Raised: w.Raised, Why: disagreement(w.Raised)}
	w.Raised = nil
	p.Laid = d.Why == ""
	if d.Agrees = p.Laid; p.Laid {
		p.LaidTurn = askew(&d.Raised[0])
	}
	emit(event.TiltLaid, at, v.Taps[w.Tap].About(), d)
}

// What is asked of the builder.
const (
	askAgain = "%s: do the drill anew, and hold each tilt still for three seconds"
	askWhich = "%s. Which is it: does the top edge of the phone point where the sheet says (top), its screen up, and were tail, left wing and " +
		"nose raised, in this order? Look, and do the drill anew"
	askApart = "the axes of the three tilts lie %s apart: fasten the phone, tilt about one axis alone, and do the drill anew"
)

// disagreement is what has to be asked about, "" for nothing.
func disagreement(raised []event.TiltSeen) string {
	var unseen, other []string
	for i := range raised {
		s := &raised[i]
		switch s.Sight {
		case attitude.SightAsked:
		case attitude.SightOpposite, attitude.SightOther:
			other = append(other, fmt.Sprintf("%s was asked for, and the phone saw %s", s.Asked, event.Raised(&s.Turn)))
		case attitude.SightNobody, attitude.SightLetGo, attitude.SightMoving, attitude.SightDoubtful, attitude.SightUnknown:
			unseen = append(unseen, s.Asked+" was not seen"+event.TiltBecause(s))
		}
	}
	switch {
	case len(other) > 0:
		return fmt.Sprintf(askWhich, strings.Join(other, "; "))
	case len(unseen) > 0:
		return fmt.Sprintf(askAgain, strings.Join(unseen, "; "))
	case len(raised) != 3:
		return fmt.Sprintf(askAgain, "not all three tilts were seen")
	}
	least, most := askew(&raised[0]), askew(&raised[0])
	for i := range raised {
		least, most = min(least, askew(&raised[i])), max(most, askew(&raised[i]))
	}
	if most-least > agree {
		return fmt.Sprintf(askApart, event.WholeDegrees(most-least))
	}
	return ""
}

// askew is the angle from the axis that was asked for to the one that was seen, cdeg: by so much
// the phone lies askew, or the hands tilted about another axis.
func askew(s *event.TiltSeen) int64 {
	pitch, roll := s.PitchCdeg, s.RollCdeg
	switch s.Asked {
	case "tail raised":
		return attitude.Angle(-roll, -pitch)
	case "nose raised":
		return attitude.Angle(roll, pitch)
	case "left wing raised":
		return attitude.Angle(-pitch, roll)
	}
	return attitude.Angle(pitch, -roll)
}
