package drill

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the prompts of a learning procedure say.
const (
	learnBefore  = "see that this holds before the receiver learns, or what it stores is short: %s; press Enter once all of it does"
	learnRest    = "let go of all sticks, throttle down and at cut: nothing moves until it begins"
	learnGesture = "%s; hands clear: servos may move by themselves"
	learnSays    = "%s; no wire shows it, so press Enter once it is done; hands clear: servos may move by themselves"
	learnServos  = "hands off: the receiver moves its servos by itself (%s); touch nothing until the next prompt"
	learnWaits   = "touch nothing until the next prompt: the receiver goes on by itself"
	learnOver    = "let go of everything until the drill ends: the receiver stores what it learned"
	shownBefore  = "so that it is known how far outputs go before the receiver learns: "
	shownSince   = "so that it is known how far outputs go now: "
	holdThere    = " and hold it there until the next prompt"
)

// What is to be done once the receiver has learned.
const learnedThen = "Once it has learned: its date goes into the model's papers now (benchproof papers set SHEET learned --by NAME), which " +
	"has all that outputs do seen anew; then the drill learned, which switches the receiver off and on and shows that it took."

const (
	brokenOff  = "Begun and broken off, the limits are unknown until they are learned again: do it in one go, and do not fly in between."
	mayAllMove = "These may run by themselves while the receiver learns, so each is free, or unplugged, and the model does not stand on any " +
		"of them: %s; retracts stay locked down."
)

const (
	restsFirst   = 2 * unit.Second         // how long sticks rest before a procedure begins
	showsFor     = 1500 * unit.Millisecond // how long a control is held at an end, so that a second of outputs is seen there
	storesWithin = 3 * unit.Second         // how long servos may still move behind the last step
)

// learningPlan is the procedure of the sheet. Its prompts are "limit-learning/ready"; with servo leads
// "limit-learning/before/CHANNEL/PLACE" for each end that a stick is brought to; "limit-learning/rest"; for
// each step of the sheet "limit-learning/N", N from 1, or "limit-learning/N/PLACE" where a control is moved; and
// "limit-learning/over".
func learningPlan(s *sheet.Sheet, p Plan) Plan {
	p.Purpose = "the receiver learns the limits of travel, by the steps of the sheet, and the wire shows each that it can"
	p.Cautions = cautions(slices.Concat([]string{byThemselves, manualSays, onAStand, noStop, brokenOff}, learnedAlong(s))...)
	p.Leads, p.Learns, p.Gestures, p.Then = s.HasLeads(), true, s.Learning.LearnGestures(), learnedThen
	p.Prompts = []Prompt{{ID: p.Name + "/ready", Text: fmt.Sprintf(learnBefore, strings.Join(s.Learning.Before, ", ")), Asks: Ask{Act: ActLearn}}}
	if p.Leads {
		p.Prompts = append(p.Prompts, shows(s, p.Name+"/before/", shownBefore)...)
	}
	p.Prompts = append(p.Prompts, calm(s, p.Name+"/rest"))
	for i := range s.Learning.Steps {
		p.Prompts = append(p.Prompts, learnStep(s, i)...)
	}
	p.Prompts = append(p.Prompts, timed(p.Name+"/over", learnOver, Ask{Act: ActRests}, storesWithin))
	return p
}

// learnedAlong warns by name of what else hangs on the receiver: channels that are no stick, choose no mode and
// are no part of the procedure, and outputs that no stick and no throttle moves.
func learnedAlong(s *sheet.Sheet) []string {
	var names []string
	for _, c := range ofKind(s, sheet.Switch, sheet.Momentary, sheet.Knob) {
		gain := s.Gain != nil && s.Gain.Channel == c.Number
		gesture := slices.ContainsFunc(s.Gestures, func(g sheet.Gesture) bool { return g.Channel == c.Number })
		if !gain && !gesture && !slices.Contains(s.ModeChannels(), c.Number) {
			names = append(names, c.Name)
		}
	}
	for i := range s.Outputs {
		o := &s.Outputs[i]
		primary := slices.ContainsFunc(o.MovedBy, func(m sheet.Movement) bool {
			c, _ := s.Channel(m.Channel)
			return c.Kind == sheet.Stick || c.Kind == sheet.Throttle
		})
		if !primary {
			names = append(names, fmt.Sprintf("%s (output %d)", o.Surface, o.Number))
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []string{fmt.Sprintf(mayAllMove, strings.Join(names, ", "))}
}

// calm waits until all sticks rest and the throttle is down, cut on or not.
func calm(s *sheet.Sheet, id string) Prompt {
	p := Prompt{ID: id, Text: learnRest, Asks: Ask{Act: ActCalm}, Until: Condition{Stand: restsFirst}}
	for _, c := range sticks(s) {
		switch {
		case c.Neutral != 0:
			p.Until.Targets = append(p.Until.Targets, Target{c.Number, c.Neutral, NearEnd})
		case c.Kind == sheet.Throttle:
			low := stops(c)[1]
			cut, _ := c.Place("cut")
			p.Until.Targets = append(p.Until.Targets, Target{c.Number, cut.Width, unit.Abs(cut.Width-low.Width) + NearEnd})
		}
	}
	return p
}

// shows holds each stick at each end that the procedure brings it to.
func shows(s *sheet.Sheet, id, why string) (list []Prompt) {
	for _, at := range LearnedEnds(s) {
		c, _ := s.Channel(at.Channel)
		list = append(list, Prompt{
			ID: id + c.Name + "/" + at.Position, Text: why + stickPrompt(s, c, "move", "slowly and fully "+way(c, at.Position)) + holdThere,
			Asks: Ask{Act: ActShow, Channel: c.Number, Place: at.Position}, Until: Condition{Targets: []Target{{c.Number, at.Width, NearEnd}}, Stand: showsFor},
		})
	}
	return list
}

// LearnedEnds are the ends that the procedure brings sticks to, each once.
func LearnedEnds(s *sheet.Sheet) (list []sheet.Setting) {
	for i := range s.Learning.Steps {
		for _, at := range s.Learning.Steps[i].To {
			if c, _ := s.Channel(at.Channel); c.Kind == sheet.Stick && !slices.Contains(list, at) {
				list = append(list, at)
			}
		}
	}
	return list
}

// learnStep is a step of the procedure; of a control one prompt for each place.
func learnStep(s *sheet.Sheet, i int) []Prompt {
	step := &s.Learning.Steps[i]
	id, ask := fmt.Sprintf("%s/%d", LimitLearning, i+1), Ask{Act: ActLearn, At: i}
	switch i {
	case 0:
		ask.Act = ActStart
	case len(s.Learning.Steps) - 1:
		ask.Act = ActFinish
	}
	switch step.Kind {
	case sheet.LearnGesture:
		return []Prompt{learnByGesture(s, id, step.Gesture, ask)}
	case sheet.LearnServos:
		ask.Act = ActServos
		return []Prompt{timed(id, fmt.Sprintf(learnServos, surfaces(s, step.Outputs)), ask, step.Lasts)}
	case sheet.LearnWait:
		ask.Act = ActWaits
		return []Prompt{timed(id, learnWaits, ask, step.Lasts)}
	case sheet.LearnControl:
		return learnByControl(s, id, step, i)
	}
	return []Prompt{{ID: id, Text: fmt.Sprintf(learnSays, step.Says), Asks: ask}}
}

func learnByGesture(s *sheet.Sheet, id, name string, ask Ask) Prompt {
	g := &s.Gestures[slices.IndexFunc(s.Gestures, func(g sheet.Gesture) bool { return g.Name == name })]
	return Prompt{ID: id, Text: fmt.Sprintf(learnGesture, gestureText(s, g)), Asks: ask, Until: Condition{Gesture: name}}
}

func learnByControl(s *sheet.Sheet, id string, step *sheet.LearnStep, i int) (list []Prompt) {
	c, _ := s.Channel(step.Channel)
	for _, at := range step.To {
		words, within := putText(c, at.Position), s.Tolerance.Position
		if c.Kind == sheet.Stick || c.Kind == sheet.Throttle {
			words, within = stickPrompt(s, c, "move", "slowly and fully "+way(c, at.Position))+holdThere, NearEnd
		}
		list = append(list, Prompt{
			ID: id + "/" + at.Position, Text: words, Asks: Ask{Act: ActTeach, Channel: c.Number, Place: at.Position, At: i},
			Until: Condition{Targets: []Target{{c.Number, at.Width, within}}},
		})
	}
	return list
}

// surfaces names outputs by what they move.
func surfaces(s *sheet.Sheet, outputs []int) string {
	names := make([]string, 0, len(outputs))
	for _, n := range outputs {
		o, _ := s.Output(n)
		names = append(names, o.Surface)
	}
	return text.And(names)
}
