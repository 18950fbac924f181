// Package runner leads through one drill at a time and reports what the wire did at each
// prompt. It draws no conclusions: those are for the claims.
package runner

import (
	"encoding/json"
	"slices"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/attitude"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Runner leads through one drill at a time. Its exported fields are what a
// checkpoint keeps; New puts beside them what follows from the sheet. Dates order
// and expire, wire times measure.
//
//	begin   confirm  (frames)           done
//	  |        |        |                 |
//	began   prompted answered prompted answered ended
//	                 by wire           by builder
//
// A prompt that is held (Condition.Hold) is answered when its time has passed: by the
// builder if one confirmed it meanwhile, else by the count.
type Runner struct {
	Name         string                  `json:"name"`      // of the drill under way, "" for none
	Began        unit.Time               `json:"began"`     // its date
	Confirmed    bool                    `json:"confirmed"` // its cautions; a prompt stands
	At           int                     `json:"at"`        // index of that prompt
	Since        unit.Time               `json:"since"`     // date of that prompt, or of the mark at which somebody came or left
	Moved        unit.Time               `json:"moved"`     // date when a control moved last that is asked for, 0: none did
	Stood        Widths                  `json:"stood"`     // where such controls stood then
	Unheard      bool                    `json:"unheard"`   // the recording has a gap: nothing can be proven
	By           string                  `json:"by"`        // who follows the prompts, "" where nobody said
	Acknowledged bool                    `json:"tapped"`    // the prompt is held, and was confirmed
	Finished     bool                    `json:"finished"`  // every prompt was answered: it ends with the next observation
	Attended     bool                    `json:"asks"`      // somebody is there to be asked
	Itself       bool                    `json:"itself"`    // the prompt came by itself, not after an Enter
	Doubted      *Track                  `json:"doubted"`   // what moved until an Enter that was asked about, nil for none
	Track        *Track                  `json:"track"`     // nil while no drill is under way
	Outputs      LeadsTrack              `json:"outputs"`
	Words        string                  `json:"words"` // that were typed at the prompt
	Walk         Walk                    `json:"walk"`
	Lacking      unit.Time               `json:"lacking"`         // date since which the bus says what a prompt waits for and no loss is measured, 0: it does not
	Lacked       bool                    `json:"lacked"`          // that was said
	Rests        []event.ModelRestedData `json:"rests,omitempty"` // of the drill under way, one a prompt
	Anew         bool                    `json:"anew"`            // the round begins anew once the signal is there
	Laid         Laid                    `json:"laid"`
	Taught       Taught                  `json:"taught"`
	Flying       *attitude.Rest          `json:"flying,omitempty"` // how a phone felt the attitude for flying in this drill, nil: none did
	Turned       *attitude.Rest          `json:"turned,omitempty"` // how it felt that once it was turned half round, nil: it did not
	Round        *attitude.Round         `json:"round,omitempty"`  // its own bias, nil: not known
	Text         string                  `json:"text"`             // of the prompt
	Steps        Steps                   `json:"steps"`            // of the drill of edges
	Edges        []sheet.Found           `json:"edges,omitempty"`  // that were measured in it

	place
}

// place is what a runner has from its sheet and its bench.
type place struct {
	sheet     *sheet.Sheet
	bus       Tap
	leads     Tap
	phone     Tap
	drills    *drill.Index
	channels  []int // whose movements are reported
	sticks    []int // without the throttle
	outputs   []sheet.Output
	edges     []sheet.Edge
	concerned concerned
}

// concerned is the channels of the controls that a prompt is about, by its ID.
type concerned struct {
	prompt   string
	channels []int
}

// Tap is where a runner listens. Number 0 means that there is none.
type Tap struct {
	Number uint8
	Name   string
}

// New makes a runner for the drills of a sheet over its first bus tap, its tap on
// the servo leads and that on a phone.
func New(s *sheet.Sheet, bus, leads, phone Tap) *Runner {
	return &Runner{place: place{
		sheet: s, bus: bus, leads: leads, phone: phone,
		drills: drill.NewIndex(s), channels: channelsOf(s), sticks: sticksOf(s), outputs: s.Outputs, edges: s.Edges(),
	}}
}

// BusState is what is known of the runner's bus.
type BusState struct {
	Channels int                                        // of a frame, digital ones too
	Width    func(f *bus.Frame, channel int) unit.Width // ns; also of the digital channels
	Signal   event.Signal                               // whose values the frames carry
	Suspect  bool                                       // many channels leapt at once and none has moved singly since
	Loss     string                                     // how far a loss of the signal is, see event.PhaseLost
	Mode     string                                     // that is asked for, "" for none of the sheet's
	Pressed  bool                                       // the sheet's mark button was, with the latest frame
	Made     func(gesture string) unit.Time             // date when a gesture of the sheet was last made, 0 for never
	Phone    bool                                       // one on the model sends: a radio of its own
	// Seen is what a phone saw of a tilt that was asked for from one date to another, nil for nothing.
	Seen func(ask drill.Ask, from, to unit.Time) *event.TiltSeen
	// Lies is how a phone on the model feels it rest at a date, if it has for a second; nil where none is there that may be believed.
	Lies func(at unit.Time) *attitude.Lying
}

// Standing is the prompt that stands and its date; "" for none.
func (r *Runner) Standing() (id string, since unit.Time) {
	if !r.Confirmed {
		return "", 0
	}
	return r.plan().Prompts[r.At].ID, r.Since
}

// Active names the drill under way, "" for none.
func (r *Runner) Active() string { return r.Name }

// See takes an observation; it is lent for the call.
func (r *Runner) See(o *event.Observation, h *BusState, emit event.Emit) {
	if r.Finished {
		r.end("finished", "", emit)
	}
	r.onTheWay(o, h, emit)
	switch o.Kind {
	case event.FrameSeen:
		if r.Name != "" && o.Tap == r.bus.Number && !o.Frame.Bad {
			r.frame(o, h, emit)
		}
	case event.PulseSeen:
		if r.Name != "" && o.Tap == r.leads.Number {
			r.Outputs.pulse(o.Pulse, o.Wire)
		}
	case event.InputDrillStep:
		r.step(o, h, emit)
	case event.InputBeat:
		r.passes(o, h, emit)
	default:
		r.broken(o, emit)
	}
}

// onTheWay follows a walk, which a phone beside the receiver ends: it is a radio of its own.
func (r *Runner) onTheWay(o *event.Observation, h *BusState, emit event.Emit) {
	if r.Name == drill.Range && h.Phone {
		r.interrupt(besidePhone, emit)
	}
	if r.walking() {
		r.walks(o, h, emit)
	}
}

// broken ends a drill that can't go on.
func (r *Runner) broken(o *event.Observation, emit event.Emit) {
	switch o.Kind {
	case event.InputTapDown:
		if t, ok := r.needed(o.Tap); ok {
			r.interrupt("nothing can be read at "+t.Name+": "+string(o.Data), emit)
		}
	case event.InputRecordingGap:
		r.Unheard = true
		r.interrupt("the recording has a gap", emit)
	case event.InputResume:
		r.interrupt("benchproof was stopped meanwhile", emit)
	case event.InputEnd:
		r.interrupt("the sitting is over", emit)
	}
}

// needed finds the tap of a number if the drill under way is judged by it.
func (r *Runner) needed(number uint8) (Tap, bool) {
	p := r.plan()
	switch {
	case p == nil || number == 0:
		return Tap{}, false
	case number == r.bus.Number:
		return r.bus, true
	case number == r.phone.Number:
		return r.phone, p.Phone
	}
	return r.leads, p.Leads && number == r.leads.Number
}

func (r *Runner) frame(o *event.Observation, h *BusState, emit event.Emit) {
	heard := r.Track.frame(o, h)
	if heard && r.Confirmed && r.plan().Prompts[r.At].Until.Stirs {
		r.Track.stirs(r.sticks)
	}
	if r.passes(o, h, emit) || !heard || !r.Confirmed {
		return
	}
	r.attends(o.At)
	r.stepFrame(o, h)
	await := &r.plan().Prompts[r.At].Until
	if r.Track.satisfies(await, h) || r.made(await, h) {
		r.answer("wire", o.At, h, emit)
	}
}

// passes answers prompts that wait for a loss of the signal or for time to pass,
// also while no frames come.
func (r *Runner) passes(o *event.Observation, h *BusState, emit event.Emit) bool {
	if !r.Confirmed {
		return false
	}
	await := &r.plan().Prompts[r.At].Until
	lost := await.Loss != "" && reached(h.Loss, await.Loss)
	waited := await.After > 0 && o.At.Sub(r.Since) >= await.After
	if lost || waited {
		r.answer(r.passed(await), o.At, h, emit)
		return true
	}
	return r.losesUnheard(o.At, h, emit)
}

// passed is by whom a prompt was answered that nothing but its time ended, or a loss.
func (r *Runner) passed(await *drill.Condition) string {
	switch {
	case await.Hold && r.Acknowledged:
		return "builder"
	case await.Hold:
		return "count"
	}
	return "wire"
}

// losses are how far one goes, in order.
var losses = []string{"", event.PhaseLost, event.PhaseSettled, event.PhaseBack}

// reached reports that a loss is as far as a prompt waits for.
func reached(is, want string) bool { return slices.Index(losses, is) >= slices.Index(losses, want) }

func (r *Runner) plan() *drill.Plan {
	p, _ := drill.Find(r.drills.Plans(), r.Name)
	return p
}

// step takes an input of the builder. What can't be taken is refused in words.
func (r *Runner) step(o *event.Observation, h *BusState, emit event.Emit) {
	var s event.DrillStep
	if err := json.Unmarshal(o.Data, &s); err != nil {
		r.refuse("", "got a drill step that is not readable: "+err.Error(), o.At, emit)
		return
	}
	if why := r.against(&s); why != "" {
		r.refuse(s.Drill, why, o.At, emit)
		return
	}
	switch s.Do {
	case event.StepBegin:
		*r = Runner{Name: s.Drill, Began: o.At, Since: o.At, By: short(s.By), Attended: s.Attended, Track: &Track{}, place: r.place}
		p := r.plan()
		emit(event.DrillBegan, o.At, r.about(), event.DrillBeganData{Cautions: p.Cautions, Prompts: len(p.Prompts), By: r.By})
	case event.StepConfirm:
		r.Confirmed = true
		r.prompt(o.At, emit)
	case event.StepDone:
		r.done(o, s.Words, h, emit)
	case event.StepRepeat:
		r.leave(o.At, true, emit)
		r.At = r.countedIn(r.At)
		r.prompt(o.At, emit)
	case event.StepBack:
		r.leave(o.At, true, emit)
		r.At = r.countedIn(r.At - 1)
		r.prompt(o.At, emit)
	case event.StepAbandon:
		r.end("abandoned", "", emit)
	}
}

// countedIn is the prompt from which one is taken anew: a tilt from its count, since the
// model has to lie level before it.
func (r *Runner) countedIn(at int) int {
	if act := r.plan().Prompts[at].Asks.Act; act == drill.ActTilt || act == drill.ActOpposite {
		return at - 1
	}
	return at
}

// done takes the builder's word, and what was typed with it. A prompt that is held goes on.
func (r *Runner) done(o *event.Observation, words string, h *BusState, emit event.Emit) {
	if r.Attended && r.Itself && o.At.Sub(r.Since) < tooEarly {
		r.hint("the prompt before was answered by itself; this is the next one: press Enter once it is done", o.At, emit)
		return
	}
	if r.plan().Prompts[r.At].Until.Hold {
		r.Acknowledged = true
		return
	}
	if r.says(words, o.At, h, emit) {
		return
	}
	if ask := r.doubtAnswer(o.At, h).ask; ask != "" && r.Attended && r.Doubted == nil {
		r.askAgain(ask, o.At, emit)
		return
	}
	r.insist()
	r.answer("builder", o.At, h, emit)
}

func (r *Runner) about() string { return event.AboutDrill.Called(r.Name) }

func (r *Runner) prompt(at unit.Time, emit event.Emit) {
	r.Since, r.Moved, r.Acknowledged, r.Itself, r.Doubted, r.Words = at, 0, false, false, nil, ""
	r.Track.begin()
	r.Outputs.begin(at)
	p := r.plan()
	r.beginsStep()
	r.Lacking, r.Lacked, r.Anew = 0, false, r.Anew && startsAnew(p.Prompts[r.At].Asks.Act)
	r.Text = r.promptText()
	emit(event.DrillPrompted, at, r.about(), event.DrillPromptedData{
		Prompt: p.Prompts[r.At].ID, Text: r.Text, Number: r.At + 1, Of: len(p.Prompts),
	})
}

// answer ends a prompt. Its onset is the prompt.
func (r *Runner) answer(by string, at unit.Time, h *BusState, emit event.Emit) {
	p := r.plan()
	d := event.DrillAnsweredData{
		Prompt: p.Prompts[r.At].ID, Text: r.Text, By: by, Tap: r.bus.Name, Who: r.By,
		Signal: r.Track.Signal, Suspect: r.Track.Suspect, Frames: r.Track.Frames, Channels: r.Track.moves(r.channels),
		Words: r.Words, StirredNS: r.Track.Stirred,
	}
	if by == "builder" {
		d.Doubt = r.doubtAnswer(at, h).what
	}
	if r.leads.Number != 0 { // what outputs do depends on the mode
		d.Outputs, d.Mode = r.Outputs.moves(r.outputs, at), h.Mode
	}
	if act := p.Prompts[r.At].Asks.Act; h.Seen != nil && (act == drill.ActTilt || act == drill.ActOpposite) {
		d.Tilt = h.Seen(p.Prompts[r.At].Asks, r.Since, at)
	}
	if p.Rests {
		r.Outputs.stood(d.Outputs, at)
		r.lies(&p.Prompts[r.At].Asks, &d, at)
	}
	if p.Learns {
		r.teaches(&p.Prompts[r.At], &d)
	}
	emit(event.DrillAnswered, r.Since, r.about(), d)
	r.rests(&p.Prompts[r.At], at, h, emit)
	r.turns(&p.Prompts[r.At], at, h, emit)
	if r.stepsOn(at, emit) {
		return
	}
	if r.At++; r.At < len(p.Prompts) {
		r.prompt(at, emit)
		r.Itself = by != "builder"
		return
	}
	// What the watchers measured of the last prompt, and the verdicts of that, come
	// before the end.
	r.Finished, r.Confirmed = true, false
}

func (r *Runner) interrupt(why string, emit event.Emit) {
	if r.Name != "" {
		r.end("interrupted", why, emit)
	}
}

// end ends the drill. Its onset is when it began.
func (r *Runner) end(how, why string, emit event.Emit) {
	about, began := r.about(), r.Began
	r.leave(r.Walk.Now, true, emit)
	if r.Finished && how == "finished" && len(r.Laid.Sides) > 0 {
		emit(event.LevelLearned, began, about, event.LevelData{Sides: r.Laid.Sides, By: r.By})
	}
	if r.Finished && how == "finished" && len(r.Taught.Steps) > 0 {
		emit(event.LimitsLearned, began, about, event.LimitsData{Steps: r.Taught.Steps, Outputs: r.Taught.Outputs, By: r.By})
	}
	*r = Runner{Unheard: r.Unheard, place: r.place}
	emit(event.DrillEnded, began, about, event.DrillEndedData{How: how, Why: why})
}
