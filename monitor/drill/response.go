package drill

import (
	"fmt"

	"benchproof.example/monitor/sheet"
)

// Response is the name of the drill that responsePlan makes.
const Response = "response"

// responsePlan tilts the model in each wanted position of each mode and holds it:
// what the outputs do shows what the stabiliser does (common practice). Its prompts
// are "response/MODE/N/STEP", N counting the positions of the mode from 1, the
// steps "set", "count", "there" and "level", and before "set" those for the switches on
// the way there, one at a time: "response/MODE/N/set/way/N/CHANNEL/POSITION".
func responsePlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Response,
		Purpose:  "the model is tilted and held in each mode: nothing, a kick that returns, or an answer that stays",
		Cautions: inTheAir(),
		Leads:    true,
		Tilts:    true,
	}
	axis := s.Tilted()
	if !s.HasLeads() || axis == "" || s.Stabiliser == nil {
		return p
	}
	w := newSwitchPath(s)
	for _, m := range s.Stabiliser.Modes {
		for i, wanted := range m.WantedAt {
			id := fmt.Sprintf("%s/%s/%d/", p.Name, m.Name, i+1)
			what := tilts[axis].there
			ask := func(act Act) Ask { return Ask{Act: act, Axis: axis, Mode: m.Name, At: i} }
			p.Prompts = append(p.Prompts, w.prompts(id+"set", wanted, Ask{Act: ActPut, Mode: m.Name, At: i})...)
			p.Prompts = append(p.Prompts,
				takeUp(id+"count", what, ask(ActCount)),
				timed(id+"there", fmt.Sprintf(nowText, what), ask(ActTilt), watchTime),
				timed(id+"level", levelText, ask(ActLevel), lieTime),
			)
		}
	}
	return p
}
