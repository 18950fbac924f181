package drill

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Stir is the name of the drill that stirPlan makes.
const Stir = "stir"

// spanOfStir is how long each of its two spans lasts.
const spanOfStir = unit.Minute

// What the prompts of the stir drill say.
const (
	restFirst = "throttle at cut; let go of all sticks and touch nothing for a minute: what the supply does at rest. It is what the sheet " +
		"calls %s"
	restGlider = "let go of all sticks and touch nothing for a minute: what the supply does at rest. It is what the sheet calls %s"
	stirGlider = "stir %s hard, to their stops and all at once, until the minute is over"
	stirThem   = "stir %s hard, to their stops and all at once, until the minute is over; the throttle stays at cut"
)

const (
	motorLeadsOff = "The supply of the flight is what is tested, with linkages on. Where the speed controller's own regulator feeds the " +
		"receiver, the motor leads come off, and its plug stays in: the regulator is what is tested."
	lessThanFlight = "Unloaded surfaces draw less than in flight: a quiet bus here is no proof for the air."
)

// stirPlan stirs all sticks but the throttle, beside a span in which all rest: a supply that
// is too weak shows in silences of the bus, and in a receiver that begins anew (common
// practice). What is tested is a supply, so the sheet must name it, in its section soak. Its
// prompts are "stir/still" and "stir/stir".
func stirPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Stir,
		Purpose:  fitting(s, "all sticks but the throttle", "all sticks") + " are stirred hard: whether the receiver's supply holds, beside a span at rest",
		Cautions: append(toTheEnds(s), motorLeadsOff, lessThanFlight),
	}
	var names []string
	for _, c := range ofKind(s, sheet.Stick) {
		names = append(names, c.Name)
	}
	if !s.NamesSupply() || len(names) == 0 {
		return p
	}
	add := func(act Act, text string) {
		p.Prompts = append(p.Prompts, Prompt{
			ID: p.Name + "/" + string(act), Text: text, Asks: Ask{Act: act},
			Until: Condition{After: spanOfStir, Hold: true, Stirs: act == ActStir},
		})
	}
	add(ActStill, fmt.Sprintf(fitting(s, restFirst, restGlider), s.Soak.ReceiverSupply))
	add(ActStir, fmt.Sprintf(fitting(s, stirThem, stirGlider), strings.Join(names, ", ")))
	return p
}
