package drill

import (
	"benchproof.example/monitor/sheet"
)

// Ends is the name of the drill that endsPlan makes.
const Ends = "ends"

// endsPlan asks for a slow movement to each end of every stick, throttle and
// knob: slow, because a hand slows down before a stop and a limit that cuts
// travel off does not. What other sticks do meanwhile is no part of it: the one
// before goes home as the next is moved. Its prompts are "ends/CHANNEL/END".
func endsPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Ends,
		Purpose:  "sticks, throttle and knobs slowly to their stops: how far each end reaches, and that no limit cuts it off",
		Cautions: toTheEnds(s),
	}
	for _, c := range ofKind(s, sheet.Stick, sheet.Throttle, sheet.Knob) {
		for _, end := range stops(c) {
			text := stickPrompt(s, c, "move", "slowly and fully "+way(c, end.Name)) + " and hold it there"
			if c.Kind == sheet.Knob {
				text = "turn " + c.Name + " slowly and fully to " + end.Name + "; if it stands there already, turn it away first"
			}
			p.Prompts = append(p.Prompts, Prompt{
				ID: "ends/" + c.Name + "/" + end.Name, Text: text, Asks: Ask{Act: ActReach, Channel: c.Number, Place: end.Name},
				Until: Condition{Targets: []Target{{c.Number, end.Width, NearEnd}}, Away: true},
			})
		}
	}
	return p
}
