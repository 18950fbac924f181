package runner

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Which steps can't be taken, and why.

// against says why a step can't be taken, "" where it can.
func (r *Runner) against(s *event.DrillStep) string {
	p, ok := drill.Find(r.drills.Plans(), s.Drill)
	if !ok {
		return fmt.Sprintf("got the drill %q, want %s", short(s.Drill), r.names())
	}
	switch s.Do {
	case event.StepBegin:
		return r.againstBegin(p)
	case event.StepConfirm, event.StepDone, event.StepRepeat, event.StepBack, event.StepAbandon:
		return r.againstNext(s)
	}
	return fmt.Sprintf("got the step %q, want begin, confirm, done, repeat, back or abandon", short(s.Do))
}

// againstNext is for the steps of a drill that was begun.
func (r *Runner) againstNext(s *event.DrillStep) string {
	switch {
	case r.Name == "":
		return fmt.Sprintf("no drill is under way: begin it first, with benchproof drill %s", s.Drill)
	case r.Name != s.Drill:
		return fmt.Sprintf("the drill %s is under way, not this one", r.Name)
	case s.Do == event.StepConfirm && r.Confirmed:
		return "the cautions were confirmed already"
	case s.Do == event.StepConfirm || s.Do == event.StepAbandon:
		return ""
	case !r.Confirmed:
		return "the cautions come first: confirm that they hold"
	case s.Prompt != "" && s.Prompt != r.plan().Prompts[r.At].ID:
		return fmt.Sprintf("got an answer to another prompt; the one that stands now is %d of %d: %s",
			r.At+1, len(r.plan().Prompts), r.Text)
	case s.Do == event.StepDone:
		return ""
	}
	return r.againstRepeat(s)
}

// againstRepeat is for the steps that take a prompt anew, this one or the one before.
func (r *Runner) againstRepeat(s *event.DrillStep) string {
	switch {
	case !r.plan().Again():
		return "what the receiver did can't be taken back: abandon the drill with q, and begin it anew"
	case s.Do == event.StepBack && r.At == 0:
		return "this is the first prompt, there is none before it"
	}
	return ""
}

func (r *Runner) againstBegin(p *drill.Plan) string {
	switch {
	case r.Name != "":
		return fmt.Sprintf("the drill %s is under way: finish it, or abandon it with q", r.Name)
	case r.bus.Number == 0:
		return "no bus is listened to, and a drill is judged by the bus: name one with --bus"
	case p.Leads && r.leads.Number == 0:
		return "the servo leads are not listened to, and this drill is judged by them: name the capture board's port with --leads"
	case p.Phone && r.phone.Number == 0:
		return "no phone is a tap of this session, and this drill is about how one lies: give the sheet one, as in  phone: {kind: tilt}"
	case r.Unheard:
		return "the recording has a gap, so nothing that a drill shows could be proven: wait until the disk answers again"
	}
	return ""
}

// besidePhone is why no walk is done while a phone on the model sends.
const besidePhone = "a phone on the model sends, a radio of its own beside the receiver: take it off before the walk"

func (r *Runner) names() string {
	names := make([]string, 0, len(r.drills.Plans()))
	for _, p := range r.drills.Plans() {
		names = append(names, p.Name)
	}
	if len(names) == 0 {
		return "a sheet with modes, sticks or a gain knob: this one allows no drill"
	}
	return "one of " + strings.Join(names, ", ")
}

// refuse is about the drill that was named, or about the session where the sheet
// has no such drill.
func (r *Runner) refuse(name, why string, at unit.Time, emit event.Emit) {
	about := event.AboutSession
	if _, ok := drill.Find(r.drills.Plans(), name); ok {
		about = event.AboutDrill.Called(name)
	}
	emit(event.DrillRefused, at, about, event.ReasonData{Why: why})
}

// short keeps what somebody sent from filling a line.
func short(text string) string {
	const most = 40
	if cut := []rune(text); len(cut) > most {
		return string(cut[:most]) + "..."
	}
	return text
}
