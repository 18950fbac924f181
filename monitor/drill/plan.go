// Package drill holds the drills: short exercises with a beginning and an end,
// for what the wire alone can't show. They are data: Plans lists those that a sheet
// allows, an Index finds what a prompt asks for. Package runner leads through one of them.
package drill

import (
	"slices"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Plan is one drill as the sheet of a model gives it.
type Plan struct {
	Name     string
	Purpose  string   // what it shows, for a list
	Cautions []string // sentences that must hold before the first prompt
	Leads    bool     // it is judged by the servo leads too
	Tilts    bool     // the model is tilted in it
	Phone    bool     // it is about how a phone lies on the model
	Loses    bool     // the transmitter is switched off in it
	Unpowers bool     // the receiver's supply is cut in it, and nothing is lost
	Memory   bool     // another model memory is selected in it
	Rests    bool     // how long outputs stood counts in it
	Learns   bool     // the receiver learns limits in it, and moves its servos by itself
	Gestures []string // of the sheet that are meant to be made in it, by name
	Prompts  []Prompt
	Then     string // what is to be done once it is over, a sentence; "" for nothing
}

// Prompt asks the builder for one thing.
type Prompt struct {
	ID    string // unique within a sheet, see the functions that make the plans
	Text  string // what to do
	Asks  Ask    // the same as data
	Until Condition
	Early string // what is lost by an Enter before the wire, or the time, answers; a clause, "" where nothing is
	Held  bool   // a button is held pressed while another control is moved
}

// Condition says what the wire shows once a prompt was followed. Without targets
// the wire can't show, and only the builder can.
type Condition struct {
	Targets []Target
	Moves   int           // channel that moves where the wire can't show whether it is there, 0: none need
	Still   []int         // channels that must stay where they stood at the prompt
	Away    bool          // the targets must have been left once since the prompt, so that a movement is seen
	Stand   unit.Duration // how long the targets must stand, 0: as long as anything that is awaited

	AwayFrom []AwayFrom    // presets that channels must stand away from
	Loss     string        // how far a loss of the signal must be, see event.PhaseLost
	After    unit.Duration // how long to wait
	// Hold keeps the prompt for all of After. An Enter of the builder then says
	// that it was done, without cutting short what is being measured.
	Hold bool

	Beside []Beside // where controls are to be meanwhile; shown, and waited for by nobody

	Gesture string // of the sheet that must be made since the prompt, "" for none

	Stirs bool // how long sticks are on the move counts
	Told  bool // the builder answers in words
	Angle bool // these are an angle, see Angle
	Marks bool // words are a mark that is come to, an Enter alone leaves it, and another ends the prompt
}

// AwayFrom is a channel that must stand visibly away from a preset.
type AwayFrom struct {
	Channel int
	Preset  sheet.Preset
}

// Beside is where a control is to be while a prompt is followed: what is answered does not
// hang on it, what a claim can say of the channel does.
type Beside struct {
	Channel int
	Place   string       // where it is to be, "" where it only has to be clear of
	ClearOf []unit.Width // these, ns
}

// Holds reports that a width is as asked, in the sheet of a channel.
func (a *Beside) Holds(c *sheet.Channel, width, within unit.Width) bool {
	if a.Place != "" {
		at, ok := c.PlaceAt(width, within)
		return ok && at.Name == a.Place
	}
	return !slices.ContainsFunc(a.ClearOf, func(w unit.Width) bool { return unit.Abs(width-w) <= sheet.VisibleChange })
}

// Target is a width that a channel must stand at.
type Target struct {
	Channel int
	Width   unit.Width // ns
	Within  unit.Width // ns, to either side
}

// Plans lists the drills that a sheet allows, in a fixed order.
func Plans(s *sheet.Sheet) []Plan { return allowed(everyPlan(s)) }

// allowed are those that have a prompt.
func allowed(every []Plan) (list []Plan) {
	for _, p := range every {
		if len(p.Prompts) > 0 {
			list = append(list, p)
		}
	}
	return list
}

// everyPlan has also the drills that the sheet has nothing for: they have no prompts.
func everyPlan(s *sheet.Sheet) []Plan {
	return []Plan{modePlan(s), gainPlan(s), orderPlan(s), endsPlan(s), neutralPlan(s), limitPlan(s), failsafePlan(s), powerUpPlan(s),
		otherMemoryPlan(s),
		responsePlan(s), correctionPlan(s), rangePlan(s), stirPlan(s), rightingPlan(s), degreesPlan(s), gainSeriesPlan(s),
		edgesPlan(s), layingPlan(s), learnedPlan(s),
		levellingPlan(s), keepStillPlan(s)}
}

// Find finds a plan by its name; false where the sheet does not allow it.
func Find(plans []Plan, name string) (*Plan, bool) {
	i := slices.IndexFunc(plans, func(p Plan) bool { return p.Name == name })
	if i < 0 {
		return nil, false
	}
	return &plans[i], true
}

// NearEnd is how near its end a hand brings a stick for it to be the end that was asked for.
const NearEnd unit.Width = 60_000 // ns

// sticks are the channels that hands move on the gimbals.
func sticks(s *sheet.Sheet) []*sheet.Channel { return ofKind(s, sheet.Stick, sheet.Throttle) }

func ofKind(s *sheet.Sheet, kinds ...string) (list []*sheet.Channel) {
	for i := range s.Channels {
		if slices.Contains(kinds, s.Channels[i].Kind) {
			list = append(list, &s.Channels[i])
		}
	}
	return list
}

// stops are the places at which a control meets its stops, in the order in which
// they are asked for: the throttle, which rests at its lower one, goes up first.
// That lower one is its idle, or its cut where it has no idle.
func stops(c *sheet.Channel) []sheet.Place {
	if c.Kind != sheet.Throttle {
		return c.Places
	}
	full, _ := c.Place("full")
	low, ok := c.Place("idle")
	if !ok {
		low, _ = c.Place("cut")
	}
	return []sheet.Place{full, low}
}

// hold is the wait for a control at one of its stops while the others rest.
func hold(s *sheet.Sheet, c *sheet.Channel, width unit.Width) Condition {
	a := Condition{Targets: []Target{{c.Number, width, NearEnd}}, Away: true}
	for _, other := range sticks(s) {
		twin := c.Kind == sheet.Throttle && other.Kind == sheet.Throttle // one stick moves both
		if other.Number != c.Number && !twin {
			a.Still = append(a.Still, other.Number)
		}
	}
	return a
}
