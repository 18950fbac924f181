package drill

import (
	"fmt"

	"benchproof.example/monitor/sheet"
)

// Gain is the name of the drill that gainPlan makes.
const Gain = "gain"

// gainPlan asks for the ends of the gain knob and the centre of its turn. Its
// prompts are "gain/END" and "gain/centre". That a knob stands in its centre is
// for the eye: the width there is what is being asked.
func gainPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Gain,
		Purpose:  "the gain knob, to both ends and to the centre of its turn: where no, half and full gain lie",
		Cautions: cautions(),
	}
	if s.Gain == nil {
		return p
	}
	c, ok := s.Channel(s.Gain.Channel)
	if !ok || c.Kind != sheet.Knob {
		return p
	}
	for _, end := range c.Places {
		p.Prompts = append(p.Prompts, Prompt{
			ID: "gain/" + end.Name, Text: putText(c, end.Name), Asks: Ask{Act: ActTurn, Channel: c.Number, Place: end.Name},
			Until: Condition{Targets: []Target{{c.Number, end.Width, s.Tolerance.Position}}},
		})
	}
	p.Prompts = append(p.Prompts, Prompt{ID: "gain/centre", Text: fmt.Sprintf("turn %s to the centre of its turn", c.Name),
		Asks: Ask{Act: ActCentre, Channel: c.Number}, Until: Condition{Moves: c.Number}})
	return p
}
