package drill

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Righting is the name of the drill that rightingPlan makes.
const Righting = "righting"

// What the prompts of the righting drill say.
const (
	propText = "%s by about 30 degrees and prop it there on something firm, so that nobody holds it; hands clear, and press Enter once " +
		"it lies still"
	underIt = "the model stays propped as it is"
)

const (
	rightsAtOnce = "The righting switch moves surfaces at once, far, and by itself, whatever the mode: hands, tools and eyes are clear of them " +
		"and of the wing tips."
	propFirm  = "What the model is propped on can't slip or tip, and the model can't slide off it: battery, wings and leads are fastened."
	seenFirst = "Righting leans on the mode that holds an attitude: that was seen right before, in the drills response and correction. " +
		"If not, do those first."
)

// standsSettled is how long switches stand before what outputs do there is taken: half a second for the
// answer, and the second that it is measured over.
const standsSettled = 2 * unit.Second

// props are how a model is propped about an axis: as the first tilt of a correction.
var props = map[string]string{sheet.Pitch: "raise the tail", sheet.Roll: "raise the left wing"}

// rightingPlan props the model up tilted, and presses the righting switch in each mode that it
// overrides, beside the mode that holds an attitude: both must answer the same tilt the same way. The
// model lies still meanwhile, so no count and no helper is needed. Its prompts are "righting/MODE/STEP",
// the steps "set", "prop", "hold" (the mode that holds an attitude), "back", "on", "off" and "level", and
// before "set", "hold" and "back" those for the switches on the way there.
//
//	mode     M    M     upright  M     M  M
//	switch                             on off
//	outputs  rest rest  answer   rest  answer rest
func rightingPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Righting,
		Purpose:  "the model is propped up tilted: whether the switch that overrides the mode brings it upright, and lets go again",
		Cautions: append(inTheAir(), rightsAtOnce, propFirm, seenFirst),
		Leads:    true,
		Tilts:    true,
	}
	x, holds, axis := s.Righting(), s.HoldsAttitude(), s.Tilted()
	if x == nil || holds == nil || !s.HasLeads() || props[axis] == "" || slices.Contains(s.ModeChannels(), x.Channel) {
		return p
	}
	w := newSwitchPath(s)
	for _, m := range s.Overridden() {
		id := Righting + "/" + m.Name + "/"
		put := func(step string, to *sheet.Mode) {
			list := w.prompts(id+step, to.WantedAt[0], Ask{Act: ActPut, Mode: to.Name, Axis: axis})
			list[len(list)-1].Until.Stand = standsSettled
			p.Prompts = append(p.Prompts, list...)
		}
		put("set", m)
		p.Prompts = append(p.Prompts, Prompt{ID: id + "prop", Text: fmt.Sprintf(propText, props[axis]), Asks: Ask{Act: ActProp, Axis: axis}})
		put("hold", holds)
		put("back", m)
		p.Prompts = append(p.Prompts, overrides(s, id, m, x)...)
		p.Prompts = append(p.Prompts, timed(id+"level", levelText, Ask{Act: ActLevel, Axis: axis}, lieTime))
	}
	return p
}

// overrides works the righting switch in a mode.
func overrides(s *sheet.Sheet, id string, m *sheet.Mode, x *sheet.Righting) []Prompt {
	c, _ := s.Channel(x.Channel)
	rest := s.Rest(x.Setting)
	ask := func(act Act, at sheet.Setting) Prompt {
		return Prompt{
			Asks:  Ask{Act: act, Channel: c.Number, Place: at.Position, Mode: m.Name},
			Until: Condition{Targets: []Target{{c.Number, at.Width, s.Tolerance.Position}}, Stand: standsSettled},
		}
	}
	on, off := ask(ActOverride, x.Setting), ask(ActYield, rest)
	on.ID, on.Text = id+"on", putText(c, x.Position)+" until the next prompt; "+underIt
	off.ID, off.Text = id+"off", putText(c, rest.Position)+"; "+underIt
	return []Prompt{on, off}
}
