package drill

import (
	"benchproof.example/monitor/sheet"
)

// Order is the name of the drill that orderPlan makes.
const Order = "order"

// orderPlan asks for one axis at a time: each end, and back to neutral. Only a
// guided movement can tell a mix, or two channels in each other's place, from a
// hand that moves both axes of a stick. Its prompts are "order/CHANNEL/END" and
// "order/CHANNEL/neutral".
func orderPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Order,
		Purpose:  "one stick axis at a time: which channel it moves, which way, and that it moves no other",
		Cautions: toTheEnds(s),
	}
	for _, c := range sticks(s) {
		for _, end := range stops(c) {
			p.Prompts = append(p.Prompts, Prompt{
				ID: "order/" + c.Name + "/" + end.Name, Text: stickPrompt(s, c, "hold", "fully "+way(c, end.Name)),
				Asks: Ask{Act: ActHold, Channel: c.Number, Place: end.Name}, Until: hold(s, c, end.Width),
			})
		}
		if c.Kind == sheet.Stick {
			p.Prompts = append(p.Prompts, backToNeutral(s, c))
		}
	}
	return p
}

func backToNeutral(s *sheet.Sheet, c *sheet.Channel) Prompt {
	p := Prompt{ID: "order/" + c.Name + "/neutral", Text: stickPrompt(s, c, "let", "go back to its centre"),
		Asks: Ask{Act: ActRelease, Channel: c.Number}}
	if c.Neutral != 0 {
		p.Until = hold(s, c, c.Neutral)
	}
	return p
}
