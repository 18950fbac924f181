package runner

import (
	"fmt"

	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What is said of a rest that a phone on the model did not feel as it was asked for.
const (
	feltNoRest    = "the phone on the model did not feel it rest"
	feltNoRestAsk = feltNoRest + ": prop it up, hands off, and press Enter a second later"
	feltOther     = "%s was asked for, and the phone on the model felt %s"
	feltOtherAsk  = feltOther + ": which was it? Prop the model up as told and press Enter again; if it was, see how the phone lies (drill laying)"
	feltNone      = "%s was asked for, and the phone on the model felt no such tilt%s"
	feltNoneAsk   = feltNone + ": prop it up as told and press Enter again"
	feltApart     = "the angle that was typed is %s, and the phone on the model felt %s"
	feltApartAsk  = feltApart + ": which is it? Type the angle again; press Enter alone to leave it out"
	feltNotBack   = "the model was not back in the attitude for flying: the phone on it felt %s"
)

const (
	// apart is how much further than both doubts a typed angle may be from a felt one, millidegrees: a wedge
	// tilts a model about another axis, too (an assumption of ours).
	apart = 500
	// notBack is how far a model that was laid back may be from where it lay, hundredths of a degree.
	notBack = 300
	// borders is how well the tracker knows when a rest was over: two tenths.
	borders = 2 * tenth
)

// felt is a rest as a phone on the model felt it.
type felt struct {
	rest   event.Rest // ToNS 0: none
	lies   *attitude.Lying
	flying bool   // in the attitude for flying, from which all angles count
	why    string // nothing follows from it, a clause
	ask    string // what the builder is asked about it
}

// feels is what a phone on the model felt of the rest that a prompt asks for; nil where none counts: it was not
// shown how it lies, it may not be believed, it does not know the attitude for flying, or it is about yaw,
// of which it knows a rate of turn alone.
//
//	angle        ______   ______ from Flying, whatever was in between
//	      ______/      \_/
//	      Flying
func (r *Runner) feels(p *drill.Prompt, at unit.Time, h *BusState) *felt {
	if h.Lies == nil || p.Asks.Axis == sheet.Yaw || !p.Asks.Rests() {
		return nil
	}
	f := &felt{lies: r.unbiased(h.Lies(at))}
	switch {
	case f.lies == nil:
		return nil
	case f.lies.Rest.Tenths == 0 && p.Asks.Act != drill.ActRead: // nobody is there to be asked
		return nil
	case p.Asks.Act == drill.ActDeclare && (p.Asks.Axis == "" || r.Flying == nil):
		f.flying = true
		f.rests(p, attitude.LeanOf(&f.lies.Rest, &f.lies.Rest, f.lies.Top), at)
		return f
	case r.Flying == nil:
		return nil
	case f.lies.Rest.Tenths == 0:
		f.why, f.ask = feltNoRest, feltNoRestAsk
		return f
	}
	turn := attitude.LeanOf(r.Flying, &f.lies.Rest, f.lies.Top)
	f.rests(p, turn, at)
	f.compare(p, &turn)
	return f
}

// unbiased is how a phone lies, without the bias that a half turn on its spot showed.
func (r *Runner) unbiased(lies *attitude.Lying) *attitude.Lying {
	if lies != nil && r.Round != nil {
		lies.Rest = lies.Rest.Without(r.Round.Bias)
	}
	return lies
}

// rests puts in the rest that the phone felt.
func (f *felt) rests(p *drill.Prompt, turn attitude.Turn, at unit.Time) {
	f.rest.Axis, f.rest.By = p.Asks.Axis, event.RestFelt
	f.rest.ToNS = min(at, f.lies.Rest.ToNS)
	f.rest.FromNS = f.rest.ToNS.Add(-restSpan)
	f.rest.AngleMDeg, f.rest.DoubtMDeg = event.FeltAngle(p.Asks.Axis, &turn)
	if f.flying {
		f.rest.AngleMDeg = 0
	}
}

// compare holds it to what was asked for.
func (f *felt) compare(p *drill.Prompt, turn *attitude.Turn) {
	if p.Asks.Side == 0 {
		if turn.AngleCdeg >= notBack {
			f.why = fmt.Sprintf(feltNotBack, event.Raised(turn))
		}
		return
	}
	ask := attitude.Ask{Axis: p.Asks.Axis, Opposite: p.Asks.Side < 0}
	asked := event.TiltAsked(ask.Axis, ask.Opposite)
	switch seen := turn.Leans(ask); seen {
	case attitude.SightAsked:
	case attitude.SightOpposite, attitude.SightOther:
		f.why, f.ask = fmt.Sprintf(feltOther, asked, event.Raised(turn)), fmt.Sprintf(feltOtherAsk, asked, event.Raised(turn))
	case attitude.SightNobody, attitude.SightLetGo, attitude.SightMoving, attitude.SightDoubtful, attitude.SightUnknown:
		because := event.TiltBecause(&event.TiltSeen{Sight: seen, Turn: *turn})
		f.why, f.ask = fmt.Sprintf(feltNone, asked, because), fmt.Sprintf(feltNoneAsk, asked, because)
	}
}

// beside holds an angle that was typed to the one that was felt.
func (f *felt) beside(typed *event.Rest) {
	if f.why != "" || f.rest.ToNS == 0 || unit.Abs(typed.AngleMDeg-f.rest.AngleMDeg) <= typed.DoubtMDeg+f.rest.DoubtMDeg+apart {
		return
	}
	is := []any{event.FormatAngle(typed.Axis, typed.AngleMDeg), event.FormatAngle(typed.Axis, f.rest.AngleMDeg)}
	f.why, f.ask = fmt.Sprintf(feltApart, is...), fmt.Sprintf(feltApartAsk, is...)
}

// answered is how long behind the end of the rest before an output began to answer, as far as that is known; and
// no finer than what: the phone's sentences are late by as much, more or less.
func (f *felt) answered(d *event.ModelRestedData, outputs *LeadsTrack) {
	if f.lies.Left == 0 || d.Side == 0 || f.rest.ToNS == 0 {
		return
	}
	d.FineNS = f.lies.Jitter + borders
	for i := range d.Outputs {
		o := outputs.at(d.Outputs[i].Output)
		if after := o.Left.Sub(f.lies.Left); o.Left != 0 && unit.Abs(after) <= longestAnswer {
			d.Outputs[i].AnsweredNS = max(1, after+d.FineNS)
		}
	}
}

// longestAnswer is how long behind the beginning of a tilt an output may begin to answer it.
const longestAnswer = 2 * unit.Second
