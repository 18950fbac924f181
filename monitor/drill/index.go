package drill

import "benchproof.example/monitor/sheet"

// Index finds the drills of a sheet, and what their prompts ask for, by the names and IDs
// that events have.
type Index struct {
	plans map[string]*Plan // also those that the sheet has nothing for
	asked map[string]asking
}

// asking is a prompt and whose it is.
type asking struct {
	plan *Plan
	ask  Ask
}

// NewIndex has the drills of a sheet.
func NewIndex(s *sheet.Sheet) *Index {
	x := &Index{plans: map[string]*Plan{}, asked: map[string]asking{}}
	for _, p := range everyPlan(s) {
		x.plans[p.Name] = &p
		for _, prompt := range p.Prompts {
			x.asked[prompt.ID] = asking{&p, prompt.Asks}
		}
	}
	return x
}

var noPlan = &Plan{}

// Plan finds a drill; one without a name where there is none.
func (x *Index) Plan(name string) *Plan {
	if name == "" { // at nearly each frame
		return noPlan
	}
	if p := x.plans[name]; p != nil {
		return p
	}
	return noPlan
}

// Asked finds what a prompt asks for, and in which drill; nothing, in one without a name,
// where the sheet has no such prompt.
func (x *Index) Asked(id string) (*Plan, Ask) {
	if a, ok := x.asked[id]; ok {
		return a.plan, a.ask
	}
	return noPlan, Ask{}
}

// Asks finds a prompt of a drill that asks for an act in a mode; false where there is none.
func (x *Index) Asks(drill string, act Act, mode string) (id string, ok bool) {
	for i := range x.Plan(drill).Prompts {
		if p := &x.Plan(drill).Prompts[i]; p.Asks.Act == act && p.Asks.Mode == mode {
			return p.ID, true
		}
	}
	return "", false
}
