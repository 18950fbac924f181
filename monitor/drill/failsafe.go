package drill

import (
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the prompts of the failsafe drill say.
const (
	leaveBothOn        = "leave transmitter and receiver on for two minutes; the next prompt comes by itself"
	leaveOff           = "leave the transmitter off and touch nothing: what the receiver does is being watched"
	switchOnHomeGlider = "put all sticks and switches home, with the transmitter still off; then switch it on and press Enter in the same moment"
	switchOnHome       = "put all sticks and switches home, throttle at idle, with the transmitter still off; then switch it " +
		"on and press Enter in the same moment"
	waitForControl  = "wait until control is back; do what the transmitter asks for, if it warns about sticks or switches"
	switchOffNow    = "switch the transmitter off now and touch nothing else"
	switchOff       = "switch the transmitter off with the other hand, or have a helper do it; hold on until the next prompt"
	switchOffMoving = "move %s round and round without a pause and, while it moves, switch the transmitter off with " +
		"the other hand; go on moving it until the next prompt"
)

// lostEarly is what an Enter costs before the wire, or the time, answers.
var lostEarly = map[Act]string{
	ActWait:   "presets that the transmitter sends now and then may not have been sent by then",
	ActOff:    "that the transmitter is off rests on your word, and a loss may not be told from none",
	ActSettle: "what the receiver does later, such as a preset that comes late, is not seen",
	ActBack:   "how soon control is back is not known",
}

// rounds of the failsafe drill: soon after power-up and once more later, since
// some presets live in the transmitter, which sends them now and then (common
// practice).
var rounds = []struct {
	name string
	wait unit.Duration
}{{"soon", 0}, {"later", 2 * unit.Minute}}

// Failsafe is the name of the drill that failsafePlan makes.
const Failsafe = "failsafe"

// failsafePlan loses the signal and finds it again, twice. Its prompts are
// "failsafe/ROUND/STEP"; the steps are acts: "away", "off", "settle", "on" and "back",
// and before those of the second round "wait".
func failsafePlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Failsafe,
		Purpose:  "what the receiver does when the transmitter is switched off, soon after power-up and two minutes later",
		Cautions: cautions(cantStopOf(s), notYet),
		Loses:    true,
	}
	if s.Failsafe == nil {
		return p
	}
	for n, round := range rounds {
		id := Failsafe + "/" + round.name + "/"
		add := func(act Act, text string, until Condition) {
			p.Prompts = append(p.Prompts, Prompt{ID: id + string(act), Text: text, Asks: Ask{Act: act}, Until: until, Early: lostEarly[act]})
		}
		if round.wait > 0 {
			add(ActWait, leaveBothOn, Condition{After: round.wait})
		}
		add(ActAway, awayText(s), Condition{AwayFrom: clearOf(s)})
		beside := heldBeside(s, n)
		add(ActOff, offText(s, n, beside), Condition{Loss: event.PhaseLost, Beside: beside})
		add(ActSettle, leaveOff, Condition{Loss: event.PhaseSettled})
		add(ActOn, fitting(s, switchOnHome, switchOnHomeGlider), Condition{})
		add(ActBack, waitForControl, Condition{Loss: event.PhaseBack})
	}
	return p
}

const (
	cantStop = "You know that with the transmitter off nobody can stop a motor by radio, and that a receiver may hold " +
		"its last values or raise the throttle."
	notYet = "Whoever helps knows that the transmitter is about to be switched off, and the supply of the receiver can " +
		"be cut by hand."
)

// movable are the controls that can be left away from their preset: not what
// springs back and not what never moves.
func movable(s *sheet.Sheet) (list []*sheet.Channel) {
	for _, c := range ofKind(s, sheet.Stick, sheet.Throttle, sheet.Knob, sheet.Switch) {
		if p, ok := s.Preset(c.Number); ok && p.Rule != sheet.Hold {
			list = append(list, c)
		}
	}
	return list
}

func awayText(s *sheet.Sheet) string {
	var names []string
	for _, c := range movable(s) {
		p, _ := s.Preset(c.Number)
		words := "it should go to " + p.Says()
		if cutsBelowIdle(c) {
			words += "; throttle cut off, or it can't move"
		}
		names = append(names, c.Name+" ("+words+")")
	}
	if len(names) == 0 {
		return "hold the sticks visibly away from their neutrals"
	}
	return "put these visibly away from where they should go without a signal: " + strings.Join(names, ", ")
}

func clearOf(s *sheet.Sheet) (list []AwayFrom) {
	for _, c := range movable(s) {
		p, _ := s.Preset(c.Number)
		list = append(list, AwayFrom{c.Number, p})
	}
	return list
}
