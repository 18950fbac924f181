package drill

import "benchproof.example/monitor/sheet"

// Range is the name of the drill that rangePlan makes.
const Range = "range"

// NoRangeCheck stands with whatever a range walk shows.
const NoRangeCheck = "It is no maker's range check: a model with a computer beside it shows at most how marks differ, like with like."

// What the prompts of the range drill say.
const (
	tellPower = "type which power the transmitter sends with: the name of its reduced-power mode, or full (some end that mode by " +
		"themselves: look again at each mark)"
	tellHeights  = "type how high above the ground transmitter and model are held or stand"
	tellAntennas = "type how the antennas lie: the transmitter's, and the receiver's in the model"
	tellWho      = "type who walks with what, and who stays; for example: the transmitter with Ann, the model and the computer on a table"
	walk         = "walk from mark to mark; at each stand still, then the helper types its distance (30 m) and Enter; Enter alone before " +
		"you walk on; " +
		"an Enter more, while you walk, ends it. No phone beside transmitter or receiver. From another terminal: benchproof mark " +
		"\"30 m\", and benchproof mark \"walking on\". A mark button of the sheet sets and leaves a mark too, but its last presses may not arrive"
)

const (
	sameEachTime = "Power, heights, antennas and who carries what stay as they are told here, all the way and the next time: " +
		"else nothing can be compared."
	nobodyInTheWay = "Whoever walks looks where the feet go, and stays in sight or call of whoever is at the model, who can cut its supply by hand."
)

// rangePlan asks under what a walk is done, and then for its marks, as many as there are.
// A sheet without sticks is of nothing that is flown. Its prompts are "range/power", "/heights", "/antennas", "/who" and "/walk".
func rangePlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Range,
		Purpose:  "a walk with marks: how many frames are missed at each distance, to compare with an earlier walk; no maker's range check",
		Cautions: cautions(cantStopOf(s), nobodyInTheWay, sameEachTime, NoRangeCheck),
	}
	if len(sticks(s)) == 0 {
		return p
	}
	for _, t := range []struct{ name, text string }{
		{"power", tellPower}, {"heights", tellHeights}, {"antennas", tellAntennas}, {"who", tellWho},
	} {
		p.Prompts = append(p.Prompts, Prompt{ID: Range + "/" + t.name, Text: t.text, Asks: Ask{Act: ActTell}, Until: Condition{Told: true}})
	}
	p.Prompts = append(p.Prompts, Prompt{ID: Range + "/walk", Text: walk, Asks: Ask{Act: ActWalk}, Until: Condition{Marks: true}})
	return p
}
