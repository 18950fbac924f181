package drill

import (
	"fmt"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Learned is the name of the drill that learnedPlan makes.
const Learned = "learned"

// wakesWithin is how long a receiver that is switched on is left alone (an assumption of ours).
const wakesWithin = 6 * unit.Second

// learnedPlan shows that what the receiver learned took: it is switched off and on, sticks go to the ends that it
// learned, and the model is tilted once. A sheet without servo leads has nothing that shows it. Its prompts are
// "learned/off", "learned/on", "learned/ends/CHANNEL/PLACE", "learned/rest", and where a mode answers a tilt
// "learned/set", before it those for the switches on the way there, "learned/count", "learned/there" and
// "learned/level".
func learnedPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Learned,
		Purpose:  "after limit learning: the receiver is switched off and on, and a quick tilt shows that it took",
		Cautions: append(inTheAir(), worksAtOnce, noStop),
		Leads:    true,
		Tilts:    true,
		Unpowers: true,
		Rests:    true,
	}
	wanted, ok := upright(s)
	axis := s.Tilted()
	if s.Learning == nil || !s.HasLeads() || !ok || axis == "" {
		return p
	}
	p.Prompts = []Prompt{
		{ID: p.Name + "/off", Text: unplugText, Asks: Ask{Act: ActUnplug}},
		{ID: p.Name + "/on", Text: replugText, Asks: Ask{Act: ActReplug}, Until: Condition{After: wakesWithin}, Early: "the receiver may not be awake yet"},
	}
	p.Prompts = append(p.Prompts, shows(s, p.Name+"/ends/", shownSince)...)
	p.Prompts = append(p.Prompts, calm(s, p.Name+"/rest"))
	p.Prompts = append(p.Prompts, newSwitchPath(s).prompts(p.Name+"/set", wanted, Ask{Act: ActPut})...)
	p.Prompts = append(p.Prompts,
		takeUp(p.Name+"/count", tilts[axis].there, Ask{Act: ActCount, Axis: axis}),
		timed(p.Name+"/there", fmt.Sprintf(nowText, tilts[axis].there), Ask{Act: ActTilt, Axis: axis}, watchTime),
		timed(p.Name+"/level", levelText, Ask{Act: ActLevel, Axis: axis}, lieTime),
	)
	return p
}
