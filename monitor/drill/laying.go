package drill

import (
	"fmt"

	"benchproof.example/monitor/sheet"
)

// Laying is the name of the drill that layingPlan makes.
const Laying = "laying"

// layPhone is what is asked for first.
const layPhone = "fasten the phone on the model so that it can't slide, screen up, its top edge to the %s; the model level and still: Enter"

// layingPlan shows how a phone lies on the model: tail, left wing and nose are raised, and what
// it sees must agree with that and with the sheet. Its prompts are "laying/put", then three
// rounds, "tail", "left" and "nose": "laying/ROUND/count", "laying/ROUND/there" (of the nose
// "other") and "laying/ROUND/level".
func layingPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Laying,
		Purpose:  "a phone on the model: tail, left wing and nose raised, whether it sees them as the sheet says that it lies",
		Cautions: append(inTheAir(), phoneHolds),
		Tilts:    true,
		Phone:    true,
	}
	if !s.HasPhone() {
		return p
	}
	p.Prompts = append(p.Prompts, Prompt{ID: p.Name + "/put", Text: fmt.Sprintf(layPhone, topOf(s)), Asks: Ask{Act: ActLay}})
	for i, round := range []struct {
		name, what string
		ask        Ask
	}{
		{"tail", tilts[sheet.Pitch].there, Ask{Act: ActTilt, Axis: sheet.Pitch}},
		{"left", tilts[sheet.Roll].there, Ask{Act: ActTilt, Axis: sheet.Roll}},
		{"nose", tilts[sheet.Pitch].other, Ask{Act: ActOpposite, Axis: sheet.Pitch}},
	} {
		id := p.Name + "/" + round.name + "/"
		count := timed(id+"count", "on the third count "+round.what+" and hold it there", Ask{Act: ActCount, Axis: round.ask.Axis}, countTime)
		if i == 0 {
			count = takeUp(id+"count", round.what, Ask{Act: ActCount, Axis: round.ask.Axis})
		}
		p.Prompts = append(p.Prompts, count,
			timed(id+string(round.ask.Act), fmt.Sprintf(nowText, round.what), round.ask, holdTime),
			timed(id+"level", levelText, Ask{Act: ActLevel, Axis: round.ask.Axis}, lieTime))
	}
	return p
}

// topOf is where the sheet says that the top edge of the phone points.
func topOf(s *sheet.Sheet) string {
	for _, t := range s.Taps {
		switch t.Top {
		case "left", "right":
			return t.Top + " wing"
		case "tail":
			return t.Top
		}
	}
	return "nose"
}
