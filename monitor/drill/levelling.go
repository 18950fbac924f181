package drill

import (
	"fmt"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Levelling and KeepStill are the names of the drills that levellingPlan and keepStillPlan make.
const (
	Levelling = "levelling"
	KeepStill = "keep-still"
)

// What the prompts of the levelling drill, and of the one after power-up, say.
const (
	beginLevelling = "begin levelling as the receiver's manual says: %s"
	layText        = "lay it so: %s; let go of it, and press Enter once it lies still"
	restText       = "touch neither the model nor what it lies on for %s"
	endLevelling   = "end it as the receiver's manual says, and wait until the receiver shows that it is done"
	unplugGlider   = "leave the transmitter on, cut the receiver's supply, and press Enter once it is off"
	unplugText     = "throttle at cut; leave the transmitter on, cut the receiver's supply, and press Enter once it is off"
	replugText     = "lay the model down, then switch the receiver on and touch nothing until the next prompt"
)

const (
	steadyTable = "What the model lies on stands firm, and nobody leans on it, walks by hard, or works on it meanwhile: the receiver learns each jolt."
	startsAnew  = "Begun and broken off, the level is unknown until it is learned again."
	worksGlider = "A receiver that is switched on may move its servos at once."
	worksAtOnce = "A receiver that is switched on may move its servos at once, and a controller may beep, or start where its throttle is not at cut."
)

// settlesFirst is how much longer than the receiver's own time a side lies still: what a hand shook is over by then.
const settlesFirst = unit.Second

// looksOn is how long outputs are looked at behind the time that the model is to lie still after power-up.
const looksOn = 6 * unit.Second

// levellingPlan lays the model on each of the sides that the sheet names, in turn. Its prompts are
// "levelling/start", then "levelling/N/lay" and "levelling/N/rest" for each side, N from 1, and "levelling/end".
func levellingPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Levelling,
		Purpose:  "the receiver learns what level is: the sides and the seconds of the sheet, and whether the model lay still",
		Cautions: append(inTheAir(), steadyTable, startsAnew),
		Tilts:    true,
		Rests:    true,
	}
	l := s.Levelling
	if l == nil {
		return p
	}
	p.Prompts = append(p.Prompts, Prompt{ID: Levelling + "/start", Text: fmt.Sprintf(beginLevelling, l.Starts), Asks: Ask{Act: ActStart}})
	for i, side := range l.Sides {
		id := fmt.Sprintf("%s/%d/", Levelling, i+1)
		rest := timed(id+"rest", fmt.Sprintf(restText, unit.FormatDuration(l.Rests)), Ask{Act: ActRests, At: i}, l.Rests+settlesFirst)
		p.Prompts = append(p.Prompts, Prompt{ID: id + "lay", Text: fmt.Sprintf(layText, side), Asks: Ask{Act: ActSide, At: i}}, rest)
	}
	end := endLevelling
	if l.Ends != "" {
		end = l.Ends
	}
	p.Prompts = append(p.Prompts, Prompt{ID: Levelling + "/end", Text: end, Asks: Ask{Act: ActFinish}})
	return p
}

// keepStillPlan switches the receiver off and on with the model lying still, where the sheet says for how
// long it is to. Its prompts are "keep-still/off" and "keep-still/on".
func keepStillPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     KeepStill,
		Purpose:  "the receiver is switched on with the model lying still: when its outputs come to rest, and whether they stay there",
		Cautions: cautions(fitting(s, worksAtOnce, worksGlider), steadyTable),
		Leads:    true,
		Unpowers: true,
		Rests:    true,
	}
	if s.Levelling == nil || s.Levelling.AfterPowerUp == 0 || !s.HasLeads() || s.Tilted() == "" {
		return p
	}
	p.Prompts = []Prompt{
		{ID: KeepStill + "/off", Text: fitting(s, unplugText, unplugGlider), Asks: Ask{Act: ActUnplug}},
		{ID: KeepStill + "/on", Text: replugText, Asks: Ask{Act: ActReplug}, Until: Condition{After: s.Levelling.AfterPowerUp + looksOn},
			Early: "whether outputs stay at rest is not seen"},
	}
	return p
}
