package runner

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// keyNear is what a key means that is the mode from which a way comes.
const keyNear = "near"

// keyFar is one that is the mode to which it goes.
const keyFar = "far"

// What the prompts of a step say.
const (
	stepBack   = "turn %s back to %s, then on to between %s and %s without going past it; let it stand, rock the model and look: %s"
	stepOnward = "turn %s on to between %s and %s without going past it; let it stand, rock the model and look: %s"
	stepThere  = "turn %s to %s; let it stand, rock the model and look: %s"
	orBelow    = "about %s or below"
	orAbove    = "about %s or above"
)

// Why a step answers nothing.
const (
	wantsKey     = "got %q, want a key: %s"
	notHeardStep = "the receiver does not hear its transmitter, or many channels leapt at once: wait until it does, and move a stick by itself"
	notStanding  = "%s was turned just now: let it stand, rock the model, look, and answer then"
	otherStands  = "%s stands at %s, where %s is to be: put it back first"
	standsOffAt  = "%s stands at %s: turn it to where it is asked for, rock the model, and answer again"
	notFromHome  = "%s did not come from %s, and a receiver may hold on to its mode: turn it back to there, then to where it is asked for, and look again"
	wentPast     = "%s went past, to %s: turn it back to %s, then to where it is asked for without going past it, and look again"
	unlikeSheet  = "the sheet has %s there: rock the model and look again; the same key once more says that it is so"
	outputsMoved = "an output went by %s meanwhile, and %s does nothing: look again; the same key once more says that it is so"
	outputsStood = "no output moved meanwhile, and %s answers: rock the model and look again; the same key once more says that it is so"
)

// Why an edge was not found, clauses.
const (
	notAsSheet   = "at %s, where the sheet has %s, the surfaces did not answer so"
	tooUnsure    = "what the surfaces do could not be told"
	tooManyLooks = "the knob is too coarse, or does not stand: it came to no interval of 10 µs"
)

const (
	rockedLeast = 25_000                 // ns that outputs go when the model is rocked in a mode that answers (an assumption of ours)
	rockedNone  = 12_000                 // ns that they go where nothing answers
	rockedFrom  = 300 * unit.Millisecond // behind the knob's last movement
)

// stepping is the step that stands.
type stepping struct {
	ask  drill.Ask
	edge *sheet.Edge
	name string // of the channel
}

// steps finds the step that stands, false where the prompt is none.
func (r *Runner) steps() (p stepping, ok bool) {
	if r.Name != drill.Edges || !r.Confirmed || r.plan().Prompts[r.At].Asks.Act != drill.ActStep {
		return p, false
	}
	p.ask = r.plan().Prompts[r.At].Asks
	p.edge, p.name = &r.edges[p.ask.At], r.name(p.ask.Channel)
	return p, true
}

// along is a width of the channel as its way counts it, and the other way round.
func (p *stepping) along(w unit.Width) unit.Width { return w * unit.Width(p.ask.Side) }

// near is the mode from which the way comes, and far that to which it goes.
func (p *stepping) near() *sheet.Mode {
	if p.ask.Side > 0 {
		return p.edge.Below
	}
	return p.edge.Above
}

func (p *stepping) far() *sheet.Mode {
	if p.ask.Side > 0 {
		return p.edge.Above
	}
	return p.edge.Below
}

// beginsStep sets out on a way; one that is under way goes on.
func (r *Runner) beginsStep() {
	p, ok := r.steps()
	id := r.plan().Prompts[r.At].ID
	if !ok || r.Steps.Prompt == id {
		return
	}
	r.Steps = Steps{Prompt: id, Up: r.Steps.Up}
	start, end := p.along(p.edge.From), p.along(p.edge.To)
	if p.ask.Side < 0 {
		start, end = end, start
	}
	r.Steps.Start, r.Steps.End, r.Steps.Lo, r.Steps.Hi = start, end, start, end
	r.Steps.aim()
}

// stepFrame follows the knob.
func (r *Runner) stepFrame(o *event.Observation, h *BusState) {
	p, ok := r.steps()
	if !ok {
		return
	}
	if h.Suspect || h.Signal != event.SignalLive {
		r.Steps.unheard()
		return
	}
	s := &r.Track.Recent[len(r.Track.Recent)-1]
	r.Steps.see(p.along(s.Widths[p.ask.Channel-1]), s.Wire, o.At)
}

// promptText is what the prompt that stands says.
func (r *Runner) promptText() string {
	p, ok := r.steps()
	if !ok {
		return r.plan().Prompts[r.At].Text
	}
	s, keys := &r.Steps, drill.Keys(p.edge)
	from, to := r.target(&p)
	switch {
	case !s.Near || !s.Far:
		return fmt.Sprintf(stepThere, p.name, p.place(s.Target, s.Near), keys)
	case s.Onward:
		return fmt.Sprintf(stepOnward, p.name, from, to, keys)
	}
	return fmt.Sprintf(stepBack, p.name, p.place(s.Start, false), from, to, keys)
}

// place is an end of the way: at or beyond it.
func (p *stepping) place(x unit.Width, far bool) string {
	if (p.ask.Side > 0) == far {
		return fmt.Sprintf(orAbove, micros(p.along(x)))
	}
	return fmt.Sprintf(orBelow, micros(p.along(x)))
}

// target is between what the knob is to stand, ascending, as people read it.
func (r *Runner) target(p *stepping) (from, to string) {
	s := &r.Steps
	within := min(nearTarget, (s.Hi-s.Lo)/4)
	a, b := p.along(s.Target-within), p.along(s.Target+within)
	return strings.TrimSuffix(micros(min(a, b)), " µs"), micros(max(a, b))
}

// stepWaits is where the knob stands and is to stand.
func (r *Runner) stepWaits() (list []state.Wait) {
	p, ok := r.steps()
	if !ok || len(r.Track.Recent) == 0 {
		return nil
	}
	w := state.Wait{Name: p.name, Sees: micros(r.Track.Recent[len(r.Track.Recent)-1].Widths[p.ask.Channel-1])}
	from, to := r.target(&p)
	if w.Wants = from + " to " + to; !r.Steps.Near || !r.Steps.Far {
		w.Wants = p.place(r.Steps.Target, r.Steps.Near)
	}
	w.Met = r.Steps.stands() && !r.Steps.off() && !r.Steps.shy()
	return append(list, r.said(w, seesAndWants))
}

// saysStep takes what was typed at a step, and reports that the prompt stands on.
func (r *Runner) saysStep(words string, at unit.Time, h *BusState, emit event.Emit) bool {
	p, _ := r.steps()
	key := p.key(drill.KeyOf(p.edge, words))
	why := r.stepAgainst(&p, h)
	switch {
	case key == "":
		why = fmt.Sprintf(wantsKey, short(words), drill.Keys(p.edge))
	case why == "" && r.Steps.Asked != key:
		if why = r.stepDoubt(&p, key); why != "" {
			r.Steps.Asked = key
		}
	}
	if why != "" {
		r.hint(why, at, emit)
		r.turnsBack(at, emit)
		return true
	}
	r.Words = words
	r.takeStep(&p, key)
	return false
}

// turnsBack has the prompt say that the knob goes back first, where it would have gone on from where it is.
func (r *Runner) turnsBack(at unit.Time, emit event.Emit) {
	if s := &r.Steps; s.Onward && (s.shy() || s.past()) {
		s.Onward = false
		r.prompt(at, emit)
	}
}

// key is what one means on the way.
func (p *stepping) key(typed string) string {
	switch {
	case typed == "" || typed == drill.KeyNeither:
		return typed
	case (typed == drill.KeyBelow) == (p.ask.Side > 0):
		return keyNear
	}
	return keyFar
}

// stepAgainst says why nothing can be looked at now, "" where it can.
func (r *Runner) stepAgainst(p *stepping, h *BusState) string {
	s := &r.Steps
	_, most := s.stood()
	stands := micros(p.along(most))
	switch {
	case len(r.Track.Recent) == 0 || h.Suspect || h.Signal != event.SignalLive || len(s.Halves) == 0:
		return notHeardStep
	case !s.stands():
		return fmt.Sprintf(notStanding, p.name)
	case s.off():
		return fmt.Sprintf(standsOffAt, p.name, stands)
	case s.shy():
		return fmt.Sprintf(notFromHome, p.name, p.place(s.Start, false))
	case s.past():
		return fmt.Sprintf(wentPast, p.name, micros(p.along(s.Peak)), p.place(s.Start, false))
	}
	now := &r.Track.Recent[len(r.Track.Recent)-1].Widths
	for _, set := range p.edge.With {
		if unit.Abs(now[set.Channel-1]-set.Width) > r.sheet.Tolerance.Position {
			return fmt.Sprintf(otherStands, r.name(set.Channel), micros(now[set.Channel-1]), set.Position)
		}
	}
	return ""
}

// stepDoubt is what speaks against a key, "" for nothing: the sheet where a way starts and ends, and the outputs.
func (r *Runner) stepDoubt(p *stepping, key string) string {
	s := &r.Steps
	switch {
	case !s.Near && key != keyNear:
		return fmt.Sprintf(unlikeSheet, text.ModeName(p.near().Name))
	case s.Near && !s.Far && key != keyFar:
		return fmt.Sprintf(unlikeSheet, text.ModeName(p.far().Name))
	}
	said, other := p.modes(key)
	if said == nil {
		return ""
	}
	switch shown, known := r.outputsShow(said, other); {
	case !known || shown == said:
		return ""
	case said.Does == sheet.DoesNothing:
		went, _ := r.rocked()
		return fmt.Sprintf(outputsMoved, unit.FormatWidth(went), text.ModeName(said.Name))
	}
	return fmt.Sprintf(outputsStood, text.ModeName(said.Name))
}

// modes are the one that a key says and the other, nil where it says none.
func (p *stepping) modes(key string) (said, other *sheet.Mode) {
	switch key {
	case keyNear:
		return p.near(), p.far()
	case keyFar:
		return p.far(), p.near()
	}
	return nil, nil
}

// outputsShow is which of two modes the servo leads show, where one of them does nothing and the other answers.
func (r *Runner) outputsShow(a, b *sheet.Mode) (shown *sheet.Mode, known bool) {
	if r.leads.Number == 0 || a.Does == "" || b.Does == "" || (a.Does == sheet.DoesNothing) == (b.Does == sheet.DoesNothing) {
		return nil, false
	}
	if a.Does != sheet.DoesNothing {
		a, b = b, a
	}
	switch went, heard := r.rocked(); {
	case went >= rockedLeast:
		return b, true
	case went < rockedNone && heard:
		return a, true
	}
	return nil, false
}

// rocked is how far the output went to and fro that went farthest, of those that correct anything, while the knob stood; heard is
// that each of them had pulses: a lead that is silent shows nothing.
func (r *Runner) rocked() (most unit.Width, heard bool) {
	from := tenthOf(max(r.Steps.Since, r.Since).Add(rockedFrom))
	heard = true
	for _, o := range r.restingOutputs("") {
		tenths := r.Outputs.at(o).since(from)
		most, heard = max(most, stray(tenths)), heard && len(tenths) > 0
	}
	return most, heard
}

// takeStep takes a key that stands.
func (r *Runner) takeStep(p *stepping, key string) {
	s := &r.Steps
	if said, other := p.modes(key); said != nil {
		if shown, known := r.outputsShow(said, other); known && shown == said {
			s.Found.Shown++
		} else if known {
			s.Found.Against++
		}
	}
	where, mode := s.Start, p.near()
	if s.Near {
		where, mode = s.End, p.far()
	}
	if wrong := !s.Near && key == keyFar || s.Near && !s.Far && key == keyNear; wrong {
		s.Found.Why = fmt.Sprintf(notAsSheet, micros(p.along(where)), text.ModeName(mode.Name))
	}
	s.looked(key)
}

// stepsOn is asked once a step was answered, and reports that another one of its way stands.
func (r *Runner) stepsOn(at unit.Time, emit event.Emit) bool {
	p, ok := r.steps()
	if !ok {
		return false
	}
	if !r.Steps.over() {
		r.prompt(at, emit)
		return true
	}
	way := r.Steps.Found
	if way.Why == "" {
		lo, hi := p.along(r.Steps.Lo-edgeDoubt), p.along(r.Steps.Hi+edgeDoubt)
		way.FromNS, way.ToNS = min(lo, hi), max(lo, hi)
	}
	d := event.EdgeMeasuredData{Channel: p.ask.Channel, Edge: p.edge.Name, Below: p.edge.Below.Name, Above: p.edge.Above.Name, Up: way}
	switch {
	case p.ask.Side < 0:
		d.Up, d.Down = r.Steps.Up, &way
	case way.Why == "":
		r.Steps.Up = way
		return false
	default:
		r.At++ // what was not found from below is not looked for from above
	}
	r.measured(&p, &d)
	emit(event.EdgeMeasured, at, event.AboutChannel.Numbered(d.Channel), d)
	return false
}

// measured compares both ways.
func (r *Runner) measured(p *stepping, d *event.EdgeMeasuredData) {
	if d.Down == nil || d.Down.Why != "" {
		return
	}
	d.FromNS, d.ToNS = min(d.Up.FromNS, d.Down.FromNS), max(d.Up.ToNS, d.Down.ToNS)
	if d.Agrees = d.ToNS-d.FromNS <= edgesWithin; !d.Agrees {
		return
	}
	f := sheet.Found{Channel: d.Channel, Ends: p.edge.Ends, Begins: p.edge.Begins, From: d.FromNS, To: d.ToNS}
	r.Edges = slices.DeleteFunc(r.Edges, func(was sheet.Found) bool {
		return was.Channel == f.Channel && was.Ends == f.Ends && was.Begins == f.Begins
	})
	r.Edges = append(r.Edges, f)
	d.Lines = r.sheet.WindowLines(r.Edges)
}
