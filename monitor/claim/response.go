package claim

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// What an output did after a tilt that is held, ns. A good receiver strays by 2.6 µs
// at rest and a tilt of 30 degrees moves outputs by several times 12 µs even at a
// small gain (common practice for both), so 12 µs lies clear of either.
const (
	answerLeast = 12_000
	fadedLeast  = 8_000 // less than that, late, is back where it was: the tolerance for neutrals
)

// What outputs did with a held tilt beyond the words of the sheet.
const doesUnclear = "unclear"

// response judges what the stabiliser does in each mode, by tilts that are held.
type response struct {
	witness
	Stuck map[int]bool `json:"stuck"` // outputs that don't follow their sticks either

	outputs []*sheet.Output
	axis    string
}

func newResponse(b *Book) *response {
	r := &response{axis: b.sheet.Tilted(), Stuck: map[int]bool{}}
	if b.sheet.Stabiliser == nil || r.axis == "" {
		return r
	}
	r.outputs = b.sheet.Corrected(r.axis)
	topics := []string{OutputsOf}
	for _, n := range b.sheet.ModeChannels() {
		topics = append(topics, name(b, n))
	}
	if g := b.sheet.Gain; g != nil && g.Channel != 0 {
		topics = append(topics, name(b, g.Channel))
	}
	for i := range b.sheet.Stabiliser.Modes {
		if m := &b.sheet.Stabiliser.Modes[i]; m.Does != "" && len(m.WantedAt) > 0 {
			b.add("response/"+m.Name, fmt.Sprintf("in %s a tilt that is held moves %s", say.Mode(m.Name), doing(m.Does)),
				"tilt the model and hold it, in each mode", fact.ResponseDrill, topics...)
		}
	}
	return r
}

// doing puts what outputs do into words.
func doing(does string) string {
	switch does {
	case sheet.DoesNothing:
		return "nothing"
	case sheet.DoesReturn:
		return "the outputs with a kick that returns"
	case sheet.DoesStay:
		return "the outputs, and they stay there"
	}
	return "the outputs in a way that is neither a kick nor an answer that stays"
}

func (r *response) see(e *fact.Event, b *Book) {
	switch d := e.Data.(type) {
	case fact.DrillBeganData:
		if e.About == "drill:"+fact.ResponseDrill {
			r.witness = witness{}
		}
	case fact.FollowsData:
		r.follows(e.About, &d)
	case fact.AnswerData:
		part := strings.Split(d.Prompt, "/")
		if len(part) == 4 && part[0] == fact.ResponseDrill && part[3] == fact.PromptThere {
			r.tilted(part[1], &d, fact.Span{From: e.From, To: e.At}, b)
		}
	}
}

// follows takes note of outputs that no stick moves: those answer no tilt either.
func (r *response) follows(what string, d *fact.FollowsData) {
	for _, o := range r.outputs {
		if what != about(o) {
			continue
		}
		stuck := true
		for _, m := range o.MovedBy {
			t, ok := term(d, m.Channel)
			stuck = stuck && ok && abs(t.PPM)+t.SurePPM <= slopeLeast
		}
		r.Stuck[o.Number] = stuck
	}
}

// stuck reports whether every output that is looked at follows no stick.
func (r *response) stuck() bool {
	for _, o := range r.outputs {
		if !r.Stuck[o.Number] {
			return false
		}
	}
	return true
}

func (r *response) tilted(mode string, d *fact.AnswerData, span fact.Span, b *Book) {
	id, want := "response/"+mode, does(b.sheet, mode)
	if why := r.mistrust(mode, d, b); why != "" {
		b.unclear(id, fmt.Sprintf("in %s: %s", say.Mode(mode), why))
		return
	}
	list := swings(d, r.outputs)
	peak, late := sums(list)
	if largest(list) >= surely {
		r.answered(b)
	}
	if want == "" {
		return
	}
	did := class(list, peak, late)
	x := waiting{ID: id, Right: did == want, Span: span, Figures: map[string]int64{"peak_ns": peak, "late_ns": late}}
	x.Text = fmt.Sprintf("in %s a held tilt moved %s: %s at most, %s after some seconds (%s)", say.Mode(mode), doing(did), say.Width(peak), say.Width(abs(late)), tilter(d))
	if did == sheet.DoesNothing {
		r.nothing(x, want, largest(list), d, b)
		return
	}
	r.something(x, want, did, largest(list), b)
}

// mistrust says why nothing follows from a tilt, "" where something may.
func (r *response) mistrust(mode string, d *fact.AnswerData, b *Book) string {
	if why := mistrust(d, r.outputs, b); why != "" {
		return why
	}
	if r.stuck() {
		return output(r.outputs[0]) + " does not follow its stick, so that no answer can be expected of it: see what moves it"
	}
	if d.Mode != mode {
		return fmt.Sprintf("the bus asked for %s while the model was tilted", say.Mode(d.Mode))
	}
	return ""
}

// nothing is when no output answered: nobody tilted, or the stabiliser is off.
func (r *response) nothing(x waiting, want string, most int64, d *fact.AnswerData, b *Book) {
	doubt := x.Text + "; that may be because nobody tilted it: do it again, and confirm each tilt with Enter"
	switch {
	case want == sheet.DoesNothing:
		x.Text += ", as the sheet wants"
	case want == sheet.DoesReturn && most >= faint:
		b.unclear(x.ID, fmt.Sprintf("%s, %s at most: tilt it more quickly, since this mode answers to the speed", x.Text, say.Width(most)))
		return
	default:
		x.Text += fmt.Sprintf("; the sheet wants %s: a dead stabiliser, limit learning that was not completed, or gain at zero", doing(want))
		doubt += "; else it is " + "a dead stabiliser, limit learning that was not completed, or gain at zero"
	}
	r.unseen(x, d.By == "builder", doubt, b)
}

// something is when outputs answered.
func (r *response) something(x waiting, want, did string, most int64, b *Book) {
	switch {
	case did == want:
		b.right(x.ID, x.Text+", as the sheet wants", x.Span, x.Figures)
	case did == doesUnclear:
		b.unclear(x.ID, x.Text+": tilt it at once and hold it still for three seconds")
	case r.axis == sheet.Yaw && want == sheet.DoesStay:
		b.unclear(x.ID, x.Text+"; yaw fades in every mode, so that levelling can't be told by it")
	case most < surely:
		b.unclear(x.ID, x.Text+fmt.Sprintf("; the sheet wants %s, but that is too little to be sure", doing(want)))
	default:
		b.wrong(x.ID, fmt.Sprintf("%s; the sheet wants %s: look at the receiver's modes, and at where the sheet's windows come from", x.Text, doing(want)), x.Span, x.Figures)
	}
}

// sums adds what outputs did, each seen from the side on which it went farther.
func sums(list []swing) (peak, late int64) {
	for _, s := range list {
		peak += abs(s.Peak)
		if s.Peak < 0 {
			late -= s.Late
		} else {
			late += s.Late
		}
	}
	return peak, late
}

func largest(list []swing) (most int64) {
	for _, s := range list {
		most = max(most, abs(s.Peak))
	}
	return most
}

// class says what outputs did with a tilt that was held.
func class(list []swing, peak, late int64) string {
	switch {
	case largest(list) < answerLeast:
		return sheet.DoesNothing
	case late >= answerLeast && 3*late >= peak:
		return sheet.DoesStay
	case abs(late) < fadedLeast || 4*abs(late) < peak:
		return sheet.DoesReturn
	}
	return doesUnclear
}

func (r *response) forget(what string, _ fact.Time) {
	if what == Everything || what == OutputsOf {
		r.witness = witness{}
		clear(r.Stuck)
	}
}
