package claim

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of tilts that are held.
const (
	heldTiltMoved           = "in %s a held tilt moved %s: %s at most, %s after some seconds%s (%s)"
	stickMovesNothing       = "%s does not follow its stick, so that no answer can be expected of it: see what moves it"
	heldTiltMovedNothing    = "in %s a held tilt moved no output by more than %s (%s)"
	movedAnotherAxis        = "%s, while %s moved %s, which corrects another axis: tilt it as told, and no other way"
	neitherNothingNorAnswer = "that is too much for nothing and too little for an answer: tilt it briskly and by 30 " +
		"degrees; "
	perhapsNotTilted = "that may be because nobody tilted it: do it again, and confirm the tilt with Enter while it is " +
		"held"
	stabiliserOffInMode = "the stabiliser is off in this mode, its gain is at zero, %sor " +
		"limit learning was not completed; which of these can't be told from the leads"
	offInThisModeOnly = "it is off in this mode, though it answers in others, or its gain is at zero here: look at what " +
		"the receiver does in this mode, and at where the sheet's windows come from"
	perhapsYaw        = "that may have been a yaw, which kicks in every mode: tilt it as told, and no other way"
	perhapsLetGo      = "so does a tilt that is let go at once: do it again, and hold it still until the next prompt comes"
	yawFades          = "yaw fades wherever no course is held, so that levelling can't be told by it"
	modeDoesOtherwise = "%s; the sheet wants %s: the receiver does something else in this mode, or the sheet's windows " +
		"are not the receiver's: look at its modes, and at where the windows come from"
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

// response judges what the stabiliser does in each mode, by tilts that are held. Each
// tilt is its own proof that there was one: that another one was answered says nothing
// of a tilt that was too small, or about another axis.
type response struct {
	pendingAnswers
	Stuck  map[int]bool    `json:"stuck"`  // outputs that don't follow their sticks either
	Kicked map[string]bool `json:"kicked"` // modes that should stay, and in which a tilt once gave a kick

	outputs []*sheet.Output
	axis    string
}

func newResponse(b *Book) *response {
	r := &response{axis: b.sheet.Tilted(), Stuck: map[int]bool{}, Kicked: map[string]bool{}}
	if b.sheet.Stabiliser == nil || r.axis == "" {
		return r
	}
	r.outputs = b.sheet.Corrected(r.axis)
	topics := []string{TopicOutputs}
	for _, n := range b.sheet.ModeChannels() {
		topics = append(topics, name(b, n))
	}
	if g := b.sheet.Gain; g != nil && g.Channel != 0 {
		topics = append(topics, name(b, g.Channel))
	}
	for i := range b.sheet.Stabiliser.Modes {
		if m := &b.sheet.Stabiliser.Modes[i]; m.Does != "" && len(m.WantedAt) > 0 {
			does := outputsDoWords(m.Does)
			b.add(FamilyResponse.of(m.Name), fmt.Sprintf("in %s a tilt that is held moves %s", text.ModeName(m.Name), does),
				Action{Do: DoHoldTilt, Drill: drill.Response}, topics...)
		}
	}
	return r
}

// outputsDoWords puts what outputs do into words.
func outputsDoWords(does string) string {
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

func (r *response) see(e *event.Event, b *Book) {
	switch d := e.Data.(type) {
	case event.DrillBeganData:
		if e.About == event.AboutDrill.Called(drill.Response) {
			r.pendingAnswers = pendingAnswers{}
		}
	case event.OutputFollowsData:
		r.follows(e.About, &d)
	case event.DrillAnsweredData:
		if plan, ask := b.drills.Asked(d.Prompt); plan.Name == drill.Response && ask.Act == drill.ActTilt {
			r.tilted(ask.Mode, &d, event.Span{From: e.From, To: e.At}, b)
		}
	}
}

// follows takes note of outputs that no stick moves: those answer no tilt either.
func (r *response) follows(what string, d *event.OutputFollowsData) {
	for _, o := range r.outputs {
		if what != about(o) {
			continue
		}
		stuck := true
		for _, m := range o.MovedBy {
			t, ok := term(d, m.Channel)
			stuck = stuck && ok && unit.Abs(t.PPM)+t.HalfIntervalPPM <= slopeLeast
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

func (r *response) tilted(mode string, d *event.DrillAnsweredData, span event.Span, b *Book) {
	id, want := FamilyResponse.ID(mode), outputsDo(b.sheet, mode)
	if why := r.mistrust(mode, d, b); why != "" {
		b.unclear(id, fmt.Sprintf("in %s: %s", text.ModeName(mode), why))
		return
	}
	list := tiltDeflections(d, r.outputs)
	if largest(list) >= sureAnswer {
		r.settlePending(b)
	}
	if want == "" {
		return
	}
	peak, late := sums(list)
	a := answer{id: id, mode: mode, did: class(list, peak, late), want: want, most: largest(list), who: whoTilted(d), span: span, yaw: r.yawed(list, b)}
	a.figures = map[string]int64{"peak_ns": int64(peak), "late_ns": int64(late)}
	if a.did == sheet.DoesNothing {
		r.nothing(&a, d, b)
		return
	}
	together := ""
	if len(list) > 1 {
		together = fmt.Sprintf(" of %d outputs together", len(list))
	}
	atMost, inTheEnd := unit.FormatWidth(peak), unit.FormatWidth(unit.Abs(late))
	a.text = fmt.Sprintf(heldTiltMoved, text.ModeName(mode), outputsDoWords(a.did), atMost, inTheEnd, together, a.who)
	r.something(&a, b)
}

// answer is what the outputs did with a tilt in a mode.
type answer struct {
	id, mode  string
	did, want string     // sheet.DoesNothing, ...
	most      unit.Width // of one output, ns
	yaw       bool       // another axis was tilted, by the looks of it
	who, text string
	span      event.Span
	figures   map[string]int64
}

// mistrust says why nothing follows from a tilt, "" where something may.
func (r *response) mistrust(mode string, d *event.DrillAnsweredData, b *Book) string {
	if why := mistrust(d, r.outputs, b); why != "" {
		return why
	}
	if r.stuck() {
		return fmt.Sprintf(stickMovesNothing, output(r.outputs[0]))
	}
	if d.Mode != mode {
		return fmt.Sprintf("the bus asked for %s while the model was tilted", text.ModeName(d.Mode))
	}
	return ""
}

// nothing is when no output answered: nobody tilted, or too little, or about another
// axis, or the stabiliser does nothing. Only a tilt that was confirmed shows it.
func (r *response) nothing(a *answer, d *event.DrillAnsweredData, b *Book) {
	what := fmt.Sprintf(heldTiltMovedNothing, text.ModeName(a.mode), unit.FormatWidth(a.most), a.who)
	other, far := r.elsewhere(d, b)
	switch {
	case other != nil:
		b.unclear(a.id, fmt.Sprintf(movedAnotherAxis, what, output(other), unit.FormatWidth(far)))
	case a.most >= faintAnswer:
		b.unclear(a.id, what+": "+neitherNothingNorAnswer+noMore)
	case !confirmed(d):
		b.unclear(a.id, what+"; "+perhapsNotTilted)
	case a.want == sheet.DoesNothing:
		b.right(a.id, what+", as the sheet wants", a.span, a.figures)
	default:
		r.unanswered(dead{
			ID: a.id, Text: fmt.Sprintf("%s; the sheet wants a tilt to move %s", what, outputsDoWords(a.want)),
			Span: a.span, Figures: a.figures,
			Alone:  fmt.Sprintf(stabiliserOffInMode, asleep(b.sheet, waitsForThrottle)),
			Beside: offInThisModeOnly,
		}, b)
	}
}

// elsewhere is the output that answered most of those which correct other axes only, if
// one surely did. nil: there is none.
func (r *response) elsewhere(d *event.DrillAnsweredData, b *Book) (other *sheet.Output, far unit.Width) {
	far = sureAnswer
	for _, o := range correcting(b.sheet) {
		s, ok := deflectionOf(tiltDeflections(d, []*sheet.Output{o}), o.Number)
		if ok && !slices.Contains(r.outputs, o) && unit.Abs(s.Kick) >= far {
			other, far = o, unit.Abs(s.Kick)
		}
	}
	return other, far
}

// something is when outputs answered.
func (r *response) something(a *answer, b *Book) {
	switch {
	case a.did == sheet.DoesReturn && a.yaw:
		b.unclear(a.id, a.text+"; "+perhapsYaw)
	case a.did == sheet.DoesReturn && a.want == sheet.DoesStay && r.axis != sheet.Yaw && !r.Kicked[a.mode]:
		r.Kicked[a.mode] = true
		b.unclear(a.id, a.text+"; "+perhapsLetGo)
	case a.did == a.want:
		b.right(a.id, a.text+", as the sheet wants", a.span, a.figures)
	case a.did == doesUnclear:
		b.unclear(a.id, a.text+": tilt it at once and hold it still for three seconds")
	case r.axis == sheet.Yaw && a.want == sheet.DoesStay:
		b.unclear(a.id, a.text+"; "+yawFades)
	case a.most < sureAnswer:
		b.unclear(a.id, a.text+fmt.Sprintf("; the sheet wants %s, but that is too little to be sure", outputsDoWords(a.want)))
	default:
		b.wrong(a.id, fmt.Sprintf(modeDoesOtherwise, a.text, outputsDoWords(a.want)), a.span, a.figures)
	}
}

// yawed reports whether what outputs did looks as much like a yaw as like the tilt, going
// by what the sheet has sticks do to them. So does what the sheet doesn't say.
func (r *response) yawed(list []deflection, b *Book) bool {
	turns := slices.ContainsFunc(r.outputs, func(o *sheet.Output) bool { return slices.Contains(o.Corrects, sheet.Yaw) })
	if r.axis == sheet.Yaw || !turns {
		return false
	}
	yaw, known := r.along(sheet.Yaw, list, b)
	own, also := r.along(r.axis, list, b)
	return !known || !also || yaw >= own
}

// along is how far outputs went along what an axis' stick does to them, ns; false where
// the sheet does not say what it does.
func (r *response) along(axis string, list []deflection, b *Book) (far unit.Width, known bool) {
	const step = 1000 // parts per million, so that nothing overflows
	stick, _, ok := b.sheet.Reference(axis)
	if !ok {
		return 0, false
	}
	var dot, length int64
	for _, o := range r.outputs {
		i := slices.IndexFunc(o.MovedBy, func(m sheet.Movement) bool { return m.Channel == stick.Number })
		if !slices.Contains(o.Corrects, axis) || i < 0 {
			continue
		}
		s, _ := deflectionOf(list, o.Number)
		dot += int64(s.Kick) * (o.MovedBy[i].Weight / step)
		length += unit.Abs(o.MovedBy[i].Weight / step)
	}
	if length == 0 {
		return 0, false
	}
	return unit.Width(unit.Abs(dot) / length), true
}

// sums adds what outputs did, each seen from the side on which it went farther.
func sums(list []deflection) (peak, late unit.Width) {
	for _, s := range list {
		peak += unit.Abs(s.Kick)
		if s.Kick < 0 {
			late -= s.Late
		} else {
			late += s.Late
		}
	}
	return peak, late
}

func largest(list []deflection) (most unit.Width) {
	for _, s := range list {
		most = max(most, unit.Abs(s.Kick))
	}
	return most
}

// class says what outputs did with a tilt that was held.
func class(list []deflection, peak, late unit.Width) string {
	switch {
	case largest(list) < answerLeast:
		return sheet.DoesNothing
	case late >= answerLeast && 3*late >= peak:
		return sheet.DoesStay
	case kicks(list) && (unit.Abs(late) < fadedLeast || 4*unit.Abs(late) < peak):
		return sheet.DoesReturn
	}
	return doesUnclear
}

// kicks reports whether no output stood for longer than a kick does: who lets go, or
// lets the model sink, makes an answer that stays look like one that returns.
func kicks(list []deflection) bool {
	return !slices.ContainsFunc(list, func(s deflection) bool { return unit.Abs(s.Kick) >= faintAnswer && !s.kick() })
}

func (r *response) forget(what string, _ unit.Time) {
	r.Dead = nil // what was changed may have cured them
	clear(r.Kicked)
	if what == TopicAll || what == TopicOutputs {
		r.pendingAnswers = pendingAnswers{}
		clear(r.Stuck)
	}
}
