package drill

import (
	"sync"

	"benchproof.example/monitor/sheet"
)

// Index finds the drills of a sheet, and what their prompts ask for, by the names and IDs
// that events have. It makes them once somebody asks for one: most of what has an index
// never does.
type Index struct {
	sheet   *sheet.Sheet
	made    sync.Once
	plans   map[string]*Plan // also those that the sheet has nothing for
	asked   map[string]asking
	allowed []Plan
}

// asking is a prompt and whose it is.
type asking struct {
	plan *Plan
	ask  Ask
}

// NewIndex has the drills of a sheet.
func NewIndex(s *sheet.Sheet) *Index { return &Index{sheet: s} }

// need makes the drills, the first time.
func (x *Index) need() {
	x.made.Do(func() {
		x.plans, x.asked = map[string]*Plan{}, map[string]asking{}
		every := everyPlan(x.sheet)
		x.allowed = allowed(every)
		for _, p := range every {
			x.plans[p.Name] = &p
			for _, prompt := range p.Prompts {
				x.asked[prompt.ID] = asking{&p, prompt.Asks}
			}
		}
	})
}

var noPlan = &Plan{}

// Plan finds a drill; one without a name where there is none.
func (x *Index) Plan(name string) *Plan {
	if name == "" { // at nearly each frame
		return noPlan
	}
	x.need()
	if p := x.plans[name]; p != nil {
		return p
	}
	return noPlan
}

// Plans lists the drills that the sheet allows, in a fixed order. They must not be changed.
func (x *Index) Plans() []Plan {
	x.need()
	return x.allowed
}

// Asked finds what a prompt asks for, and in which drill; nothing, in one without a name,
// where the sheet has no such prompt.
func (x *Index) Asked(id string) (*Plan, Ask) {
	if id != "" {
		x.need()
	}
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
