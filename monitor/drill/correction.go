package drill

import (
	"fmt"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// lookAndSay is what the drill of corrections asks of the eye.
const lookAndSay = "%s and look: Enter if %s; q if not, then reverse the servo, or the output, and begin anew"

// atTheStop is how long a stick must stand at its end so that the outputs' last
// second is all of it.
const atTheStop = 1200 * unit.Millisecond

// Correction is the name of the drill that correctionPlan makes.
const Correction = "correction"

// correctionPlan holds sticks over, then tilts the model about the same axes: an
// output must answer "tail raised" as "stick back", "left wing raised" as "stick
// left", "nose jerked left" as "rudder stick right" (common practice). Its prompts
// are "correction/mode", before it those of the way there, one switch at a time:
// "correction/mode/way/N/CHANNEL/POSITION"; then "correction/AXIS/STEP": for all axes
// the steps "stick" and "home", so that the transmitter is put down once; then for each
// "count", "there", "level", "count-2", "other" and "level-2"; last for each "eye",
// what no wire shows.
func correctionPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Correction,
		Purpose:  "sticks held over, then the model tilted: whether the stabiliser corrects the right way",
		Cautions: inTheAir(),
		Leads:    true,
		Tilts:    true,
	}
	if !s.HasLeads() {
		return p
	}
	axes := judged(s)
	if wanted, ok := upright(s); ok && len(axes) > 0 {
		p.Prompts = append(p.Prompts, newSwitchPath(s).prompts(p.Name+"/mode", wanted, Ask{Act: ActPut})...)
	}
	for _, axis := range axes {
		p.Prompts = append(p.Prompts, holdOver(s, p.Name, axis)...)
	}
	for i, axis := range axes {
		p.Prompts = append(p.Prompts, tilted(axis, i == 0)...)
	}
	for _, axis := range axes {
		p.Prompts = append(p.Prompts, eye(s, axis))
	}
	return p
}

// judged are the axes that outputs correct and a stick of the sheet commands, in
// the order in which they are tilted.
func judged(s *sheet.Sheet) (axes []string) {
	for _, axis := range []string{sheet.Pitch, sheet.Roll, sheet.Yaw} {
		if _, _, ok := s.Reference(axis); ok && len(s.Corrected(axis)) > 0 {
			axes = append(axes, axis)
		}
	}
	return axes
}

// upright is where the mode is wanted whose answers stay, since they are the
// easiest to see; else one whose answers return.
func upright(s *sheet.Sheet) (sheet.Combination, bool) {
	if s.Stabiliser == nil {
		return nil, false
	}
	for _, does := range []string{sheet.DoesStay, sheet.DoesReturn} {
		for _, m := range s.Stabiliser.Modes {
			if m.Does == does && len(m.WantedAt) > 0 {
				return m.WantedAt[0], true
			}
		}
	}
	return nil, false
}

// holdOver holds the stick of an axis over and lets it go.
func holdOver(s *sheet.Sheet, drill, axis string) []Prompt {
	c, end, _ := s.Reference(axis)
	id := drill + "/" + axis + "/"
	there := Prompt{ID: id + "stick", Text: stickPrompt(s, c, "hold", "fully "+way(c, end.Name)),
		Asks: Ask{Act: ActCompare, Channel: c.Number, Place: end.Name, Axis: axis}, Until: hold(s, c, end.Width)}
	there.Until.Stand = atTheStop
	home := backToNeutral(s, c)
	home.ID, home.Asks = id+"home", Ask{Act: ActReturn, Channel: c.Number, Axis: axis}
	return []Prompt{there, home}
}

// tilted tilts the model about an axis, to one side and to the other.
func tilted(axis string, first bool) []Prompt {
	id, way := Correction+"/"+axis+"/", tilts[axis]
	ask := func(act Act) Ask { return Ask{Act: act, Axis: axis} }
	count := timed(id+"count", "on the third count "+way.there+" and hold it there", ask(ActCount), countTime)
	if first {
		count = takeUp(id+"count", way.there, ask(ActCount))
	}
	return []Prompt{
		count,
		timed(id+"there", fmt.Sprintf(nowText, way.there), ask(ActTilt), holdTime),
		timed(id+"level", levelText, ask(ActLevel), lieTime),
		timed(id+"count-2", "on the third count "+way.other+" and hold it there", ask(ActCount), countTime),
		timed(id+"other", fmt.Sprintf(nowText, way.other), ask(ActOpposite), holdTime),
		timed(id+"level-2", levelText, ask(ActLevel), lieTime),
	}
}

// eyeChecks are what the eye must see at the reference stick of an axis (common
// practice).
var eyeChecks = map[string]string{
	sheet.Pitch: "the elevator, or what serves as one, goes up",
	sheet.Roll:  "the left aileron, or what serves as one, goes up and the right one down",
	sheet.Yaw:   "the rudder, or what serves as one, goes to the right",
}

// eye asks what no wire shows.
func eye(s *sheet.Sheet, axis string) Prompt {
	c, end, _ := s.Reference(axis)
	return Prompt{
		ID:   Correction + "/" + axis + "/eye",
		Asks: Ask{Act: ActLook, Channel: c.Number, Place: end.Name, Axis: axis},
		Text: fmt.Sprintf(lookAndSay, stickPrompt(s, c, "hold", "fully "+way(c, end.Name)), eyeChecks[axis]),
	}
}
