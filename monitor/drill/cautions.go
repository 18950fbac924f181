package drill

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/sheet"
)

// What must hold before a hand moves anything (common practice). The wording is
// for a person who reads it once, at the bench.
const (
	noPropeller = "The propeller is off AND the drive can't run: motor leads off, or the receiver on a supply of its own " +
		"with the speed controller's whole plug out (its signal lead alone leaves two supplies in parallel); a piston engine is stopped and its ignition off."
	handsClear = "Hands, tools and leads are clear of the control surfaces: a stabiliser may move them by itself at any moment."
	holdFirmly = "The model stands firm and can't fall or run away, and nobody else reaches into it."
	moreFirst  = "The manual of your receiver, the rules of your flying site and the law of your country come first; " +
		"where they ask for more than this, do that."

	heldByHand = "Whoever tilts the model holds it firmly by its body, away from every surface and from where a propeller turns; " +
		"its leads are long enough, and nobody else reaches into it."

	propped = "What the model is propped up with can't slip or tip, wings, batteries and what measures the angle are fastened, and eyes are clear of wing tips."

	onAStand = "The model stands on a stand or is held down, with every surface, wheel and door free to move, and nothing rests on them."
	noStop   = "Linkages run free to both ends: a servo that is driven against a stop draws its full current and may burn, " +
		"so let go at once where one hums, stalls or gets warm, and make that travel smaller before you go on."

	phoneHolds = "The phone is fastened and can't slide or fall while the model is tilted, and nothing of it reaches a surface or a propeller."

	byThemselves = "Limit learning moves the servos by themselves, right to the ends that it finds: linkages are free and nothing is against a stop."
	manualSays   = "You have read in the receiver's manual how it learns limits, and this receiver is meant to learn them anew now."
)

// inTheAir are the cautions of drills in which somebody holds the model in the hands.
func inTheAir() []string { return []string{noPropeller, handsClear, heldByHand, moreFirst} }

// cautions are those of every drill, with what one drill adds.
func cautions(more ...string) []string {
	return append([]string{noPropeller, handsClear, holdFirmly}, append(more, moreFirst)...)
}

// toTheEnds are those of drills that run servos to both of their ends.
func toTheEnds(s *sheet.Sheet) []string {
	return cautions(append([]string{onAStand, noStop}, auxiliaries(s)...)...)
}

// auxiliaries warns of what else the sheet has on its channels, by its own names:
// retracts, doors, flaps and the like may move when a hand touches another control.
func auxiliaries(s *sheet.Sheet) []string {
	var names []string
	for _, c := range ofKind(s, sheet.Switch, sheet.Momentary, sheet.Knob) {
		gain := s.Gain != nil && s.Gain.Channel == c.Number
		if !gain && !slices.Contains(s.ModeChannels(), c.Number) {
			names = append(names, c.Name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("What these channels move may run by itself or by a touch, so it is free, or out of power: %s; "+
		"retracts stay locked down, and the model does not stand on them.", strings.Join(names, ", "))}
}

// CautionsOfAll are those of moving every control, the throttle too, while no sheet says yet
// what it moves.
func CautionsOfAll() []string {
	return cautions(onAStand, noStop, "What further channels move may run by itself or by a touch, so it is free, or out of power; "+
		"retracts stay locked down, and the model does not stand on them.")
}
