package drill

import (
	"fmt"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
)

// Mode is the name of the drill that modePlan makes.
const Mode = "mode"

// modePlan asks for each combination of positions at which a mode is wanted, one
// switch at a time, by a way that touches no unwanted mode where there is one. Its
// prompts are "mode/MODE/POSITIONS", with the positions joined by "/" in the order
// of the sheet, and for a switch on the way there
// "mode/MODE/POSITIONS/way/N/CHANNEL/POSITION", N from 1.
func modePlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Mode,
		Purpose:  "the mode switches, one wanted position after the other: what the bus asks for at each",
		Cautions: cautions(),
	}
	if s.Stabiliser == nil {
		return p
	}
	w := newSwitchPath(s)
	for _, m := range s.Stabiliser.Modes {
		for i, wanted := range m.WantedAt {
			id := p.Name + "/" + m.Name
			for _, set := range wanted {
				id += "/" + set.Position
			}
			p.Prompts = append(p.Prompts, w.prompts(id, wanted, Ask{Act: ActPut, Mode: m.Name, At: i})...)
		}
	}
	return p
}

// switches asks for a combination of positions.
func switches(s *sheet.Sheet, id string, wanted sheet.Combination, asks Ask) Prompt {
	await, texts := Condition{}, make([]string, 0, len(wanted))
	for _, set := range wanted {
		c, _ := s.Channel(set.Channel)
		texts = append(texts, putText(c, set.Position))
		await.Targets = append(await.Targets, Target{set.Channel, set.Width, s.Tolerance.Position})
	}
	return Prompt{ID: id, Text: text.And(texts), Asks: asks, Until: await}
}

// putText says how a control comes to one of its places.
func putText(c *sheet.Channel, place string) string {
	switch {
	case c.Kind == sheet.Momentary && place == "pressed":
		return "hold " + c.Name + " pressed"
	case c.Kind == sheet.Momentary:
		return "let go of " + c.Name
	case c.Kind == sheet.Knob:
		return fmt.Sprintf("turn %s fully to %s", c.Name, place)
	case c.Kind == sheet.Fixed:
		return fmt.Sprintf("leave %s at its fixed value", c.Name)
	}
	return fmt.Sprintf("put %s to %s", c.Name, place)
}
