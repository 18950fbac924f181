package drill

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Degrees is the name of the drill that degreesPlan makes.
const Degrees = "degrees"

// steps are the angles that hands are asked for to either side, degrees: far enough apart for a
// slope, all within what a stabiliser answers in proportion (common practice).
var steps = []int{6, 16, 26}

// entered is the tilt at which a mode is entered, degrees.
const entered = 16

// layTime is how long the model rests in the attitude for flying: to lay it down, and more than
// the second that is measured.
const layTime = 5 * unit.Second

// enterTime is how long a mode that was entered is looked at: what holds a course may creep.
const enterTime = 2 * unit.Second

const (
	declare = "set the model up on a stand in the attitude in which it is to fly, and the inclinometer on it to zero: all angles count from " +
		"there; hands off, until the next prompt comes"
	layDown  = "lay the model back into the attitude for flying: the inclinometer reads zero; hands off, until the next prompt comes"
	readText = "%s by about %d degrees, in one brisk movement, and prop it up there, hands off; type the angle " +
		"that the inclinometer reads, without a sign, once it rests"
	feltText = "%s by about %d degrees, in one brisk movement, and prop it up there, hands off; press Enter once it rests: the phone on the " +
		"model feels the angle. Where it can't, type the one that an inclinometer reads, without a sign"
	turnRound = "turn the phone half round on its spot, screen up, its top edge to the %s, without lifting it, and leave the model as it stands: " +
		"Enter once it lies still; Enter alone leaves that out, and then the phone's own bias is in the doubt about the level"
	turnBack = "turn the phone back on its spot, its top edge to the %s, and leave the model as it stands: Enter once it lies still"
	waits    = "leave the model propped up as it is, hands off, until the next prompt comes"
)

// rests are how hands bring the model to an angle about an axis (common practice).
var rests = map[string]struct{ there, other string }{
	sheet.Pitch: {"raise the tail", "raise the nose"},
	sheet.Roll:  {"raise the left wing", "raise the right wing"},
	sheet.Yaw: {"turn the nose to the left on the spot, along lines drawn on the bench,",
		"turn the nose to the right on the spot, along lines drawn on the bench,"},
}

// degreesPlan has the model rest at angles that are typed: how far outputs go for each degree,
// what is left of a kick, the dead band, and in which attitude outputs are those of the mode
// that does nothing. Its prompts are "degrees/AXIS/stick" and "degrees/AXIS/home" for all axes; in the mode that
// does nothing "degrees/off", which is timed, and with a phone and a level "degrees/phone/round" and
// "degrees/phone/back"; then in each mode that answers, at the first of its
// wanted positions, "degrees/MODE/set", and for each axis "degrees/MODE/AXIS/level",
// ".../there/N", ".../level-2", ".../other/N", ".../level-3"; where answers stay
// "degrees/MODE/enter/off", "degrees/MODE/enter/there", "degrees/MODE/enter/set",
// "degrees/MODE/enter/wait". Switches on the way have prompts as in other drills.
func degreesPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Degrees,
		Purpose:  "the model rests at angles that are typed: µs for each degree, what is left of a kick, the dead band, the level",
		Cautions: append(inTheAir(), onAStand, propped),
		Leads:    true,
		Tilts:    true,
	}
	if s.HasPhone() {
		p.Purpose = "the model rests at angles that a phone feels, or that are typed: µs for each degree, what is left of a kick, the dead band, the level"
		p.Cautions = append(p.Cautions, phoneHolds)
	}
	if !s.HasLeads() || !s.Measures(sheet.MeasureDegrees) && !s.Measures(sheet.MeasureLevel) {
		return p
	}
	if axes, modes := judged(s), answering(s); len(axes) > 0 && len(modes) > 0 {
		p.Prompts = measured(s, axes, modes)
	}
	return p
}

// measured are the prompts that measure about some axes in some modes.
func measured(s *sheet.Sheet, axes []string, modes []*sheet.Mode) (list []Prompt) {
	for _, axis := range axes {
		list = append(list, holdOver(s, Degrees, axis)...)
	}
	w := newSwitchPath(s)
	if off := s.Off(); off != nil {
		list = append(list, w.prompts(Degrees+"/off/set", off.WantedAt[0], Ask{Act: ActPut, Mode: off.Name})...)
		list = append(list, timed(Degrees+"/off", declare, Ask{Act: ActDeclare, Mode: off.Name}, 2*layTime))
		if s.HasPhone() && s.Measures(sheet.MeasureLevel) {
			list = append(list, halfRound(s)...)
		}
	}
	for _, m := range modes {
		list = append(list, w.prompts(Degrees+"/"+m.Name+"/set", m.WantedAt[0], Ask{Act: ActPut, Mode: m.Name})...)
		for _, axis := range axes {
			list = append(list, bothWays(s, m.Name, axis)...)
		}
		if off := s.Off(); off != nil && m.Does == sheet.DoesStay && axes[0] != sheet.Yaw {
			list = append(list, enterTilted(s, w, off, m, axes[0])...)
		}
	}
	return list
}

// halfRound has a phone turned half round on its spot, and back: what it feels both times alike is its own bias.
func halfRound(s *sheet.Sheet) []Prompt {
	top := topOf(s)
	other := map[string]string{"nose": "tail", "tail": "nose", "left wing": "right wing", "right wing": "left wing"}[top]
	return []Prompt{
		{ID: Degrees + "/phone/round", Text: fmt.Sprintf(turnRound, other), Asks: Ask{Act: ActRound, Side: 1}},
		{ID: Degrees + "/phone/back", Text: fmt.Sprintf(turnBack, top), Asks: Ask{Act: ActRound, Side: -1}},
	}
}

// answering are the modes in which outputs are to answer a tilt.
func answering(s *sheet.Sheet) (list []*sheet.Mode) {
	if s.Stabiliser == nil {
		return nil
	}
	for i := range s.Stabiliser.Modes {
		m := &s.Stabiliser.Modes[i]
		if slices.Contains([]string{sheet.DoesReturn, sheet.DoesStay}, m.Does) && len(m.WantedAt) > 0 {
			list = append(list, m)
		}
	}
	return list
}

// bothWays has the model rest at some angles to one side of level, and to the other.
func bothWays(s *sheet.Sheet, mode, axis string) (list []Prompt) {
	id, way := fmt.Sprintf("%s/%s/%s/", Degrees, mode, axis), rests[axis]
	lay := Ask{Act: ActDeclare, Mode: mode, Axis: axis}
	list = append(list, timed(id+"level", layDown, lay, layTime))
	list = append(list, toOneSide(s, id+"there", mode, axis, way.there, 1)...)
	list = append(list, timed(id+"level-2", layDown, lay, layTime))
	list = append(list, toOneSide(s, id+"other", mode, axis, way.other, -1)...)
	lay.Last = true
	return append(list, timed(id+"level-3", layDown, lay, layTime))
}

func toOneSide(s *sheet.Sheet, id, mode, axis, how string, side int) (list []Prompt) {
	for i, degrees := range steps {
		asks := Ask{Act: ActRead, Mode: mode, Axis: axis, Side: side, At: i + 1}
		list = append(list, readAngle(s, fmt.Sprintf("%s/%d", id, i+1), how, degrees, asks))
	}
	return list
}

func readAngle(s *sheet.Sheet, id, how string, degrees int, asks Ask) Prompt {
	text := readText
	if s.HasPhone() && asks.Axis != sheet.Yaw { // of yaw it feels the rate of turn alone
		text = feltText
	}
	return Prompt{ID: id, Text: fmt.Sprintf(text, how, degrees), Asks: asks, Until: Condition{Told: true, Angle: true}}
}

// enterTilted has a mode entered while the model is tilted: what holds an attitude answers at
// once, what holds a course starts from rest (common practice).
func enterTilted(s *sheet.Sheet, w *switchPath, off, m *sheet.Mode, axis string) (list []Prompt) {
	id := fmt.Sprintf("%s/%s/enter/", Degrees, m.Name)
	list = append(list, w.prompts(id+"off", off.WantedAt[0], Ask{Act: ActPut, Mode: off.Name})...)
	list = append(list, readAngle(s, id+"there", rests[axis].there, entered, Ask{Act: ActRead, Mode: off.Name, Axis: axis, Side: 1}))
	list = append(list, w.prompts(id+"set", m.WantedAt[0], Ask{Act: ActPut, Mode: m.Name})...)
	return append(list, timed(id+"wait", waits, Ask{Act: ActEnter, Mode: m.Name, Axis: axis, Side: 1, Last: true}, enterTime))
}
