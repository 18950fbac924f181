package sheet

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/unit"
)

// learningAnyTime is what the builder reads of a procedure that may begin at any time.
const learningAnyTime = "limit learning begins by %s, which is always allowed, so that nothing is said where it begins in flight: have it " +
	"allowed in-drill"

// The kinds of steps of a learning procedure.
const (
	LearnGesture = "gesture" // one of the sheet's
	LearnButton  = "button"  // something is done at the receiver
	LearnMenu    = "menu"    // something is done in a menu
	LearnServos  = "servos"  // the receiver moves its servos by itself
	LearnControl = "control" // a control is brought to its ends, or a switch to its positions
	LearnWait    = "wait"    // nothing is done for a while
)

// Learning is how the receiver learns the limits of travel. Words are shown as they are.
type Learning struct {
	Before []string    // what must hold before
	Steps  []LearnStep // two or more: the first begins it, the last ends it
}

// LearnStep is one step of the procedure.
type LearnStep struct {
	Kind    string        // LearnGesture, ...
	Gesture string        // LearnGesture: its name
	Says    string        // LearnButton, LearnMenu: what is done
	Outputs []int         // LearnServos: those that move by themselves
	Lasts   unit.Duration // LearnServos, LearnWait
	Channel int           // LearnControl
	To      []Setting     // LearnControl: in this order
}

// begins reports that a procedure may begin with such a step, or be ended by it.
func (s *LearnStep) begins() bool {
	return s.Kind == LearnGesture || s.Kind == LearnButton || s.Kind == LearnMenu
}

func (r *reader) learning(n *node) {
	if n == nil {
		return
	}
	l := &Learning{}
	r.sheet.Learning = l
	rec := r.record(n, "learning")
	for _, item := range r.list(rec.get("before")) {
		if line, ok := r.text(item); ok {
			l.Before = append(l.Before, line)
		}
	}
	steps := rec.get("steps")
	sound := r.clean(func() {
		for _, item := range r.list(steps) {
			l.Steps = append(l.Steps, r.learnStep(item))
		}
	})
	if sound && len(l.Steps) > 0 {
		r.learnEnds(steps, l.Steps)
	}
}

// learnEnds refuses a procedure that nothing begins, or nothing ends.
func (r *reader) learnEnds(n *node, steps []LearnStep) {
	first, last := &steps[0], &steps[len(steps)-1]
	switch {
	case !first.begins():
		r.refuse(n.items[0], "a procedure that begins with a step of kind "+first.Kind, "a gesture, a button or a menu first")
	case len(steps) < 2 || !last.begins() && last.Kind != LearnWait:
		r.refuse(n.items[len(steps)-1], "a procedure that ends with a step of kind "+last.Kind+", or with its first",
			"what ends it last: a gesture, a button, a menu or a wait")
	}
}

func (r *reader) learnStep(n *node) LearnStep {
	s := LearnStep{}
	rec := r.record(n, "a step of learning")
	kind, ok := r.choice(rec.get("kind"))
	if !ok {
		return s
	}
	s.Kind = kind
	rec.only("a step of kind "+kind, kind)
	switch kind {
	case LearnGesture:
		s.Gesture = r.learnGesture(rec.get("gesture"))
	case LearnButton, LearnMenu:
		s.Says, _ = r.text(rec.get("says"))
	case LearnServos:
		for _, item := range r.list(rec.get("outputs")) {
			s.Outputs = append(s.Outputs, r.outputsCalled(item)...)
		}
		s.Lasts, _ = r.duration(rec.get("lasts"))
	case LearnWait:
		s.Lasts, _ = r.duration(rec.get("lasts"))
	case LearnControl:
		r.learnControl(&s, rec)
	}
	return s
}

// learnGesture reads the name of a gesture that may be made in a drill.
func (r *reader) learnGesture(n *node) string {
	name, ok := r.text(n)
	if !ok {
		return ""
	}
	i := slices.IndexFunc(r.sheet.Gestures, func(g Gesture) bool { return g.Name == name })
	if i < 0 {
		var known []string
		for _, g := range r.sheet.Gestures {
			known = append(known, g.Name)
		}
		r.refuse(n, fmt.Sprintf("%s, which is no gesture of this sheet", n.describe()), suggest(name, known))
		return ""
	}
	if r.sheet.Gestures[i].Allowed == "never" {
		r.refuse(n, fmt.Sprintf("%s, which is never allowed", name), "a gesture that is allowed in-drill")
	}
	return name
}

// learnControl reads to which of its places a control is brought.
func (r *reader) learnControl(s *LearnStep, rec *record) {
	c, ok := r.channel(rec.get("channel"))
	to := r.list(rec.get("to"))
	if !ok {
		return
	}
	s.Channel = c.Number
	if c.Kind == Fixed {
		r.refuse(rec.get("channel"), c.Name+", a channel of kind fixed, for a step of learning", "a control that hands move")
		return
	}
	for _, item := range to {
		if p, ok := r.place(item, c); ok {
			s.To = append(s.To, Setting{c.Number, p.Name, p.Width})
		}
	}
}

// learningDoubts are about a procedure that the transmitter may begin in flight.
func (s *Sheet) learningDoubts() (list []remark) {
	if s.Learning == nil {
		return nil
	}
	begins := s.Learning.Steps[0].Gesture
	for i := range s.Gestures {
		if g := &s.Gestures[i]; g.Name == begins && g.Allowed == "always" {
			list = append(list, remarked(fmt.Sprintf(learningAnyTime, g.Name), "gestures", g.Name, "allowed"))
		}
	}
	return list
}

// LearnGestures are the gestures that the procedure asks for, by name.
func (l *Learning) LearnGestures() (names []string) {
	for i := range l.Steps {
		if g := l.Steps[i].Gesture; g != "" && !slices.Contains(names, g) {
			names = append(names, g)
		}
	}
	return names
}
