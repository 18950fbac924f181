package event

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/unit"
)

// LimitsData belongs to limits.learned.
type LimitsData struct {
	Steps   []LearnedStep `json:"steps"`
	Outputs []OutputEnds  `json:"outputs,omitempty"` // how far outputs went before, with sticks at the ends that were learned; left out: no board listens
	By      string        `json:"by,omitempty"`      // who followed the prompts, "" where nobody said
}

// LearnedStep is one step of a learning procedure as it was done.
type LearnedStep struct {
	Prompt string       `json:"prompt"` // its ID
	Is     string       `json:"is"`     // what it asked for, without what follows the first clause
	Known  LearnedKnown `json:"known"`
	Doubt  string       `json:"doubt,omitempty"` // what speaks against it, a clause
}

// LearnedKnown is how it is known that a step was done.
type LearnedKnown string

// How it is known.
const (
	LearnedSeen    LearnedKnown = "seen"    // the wire showed it
	LearnedSaid    LearnedKnown = "said"    // only who did it can know
	LearnedCounted LearnedKnown = "counted" // its time passed
)

// OutputEnds is how far an output went, to either side.
type OutputEnds struct {
	Output  int        `json:"output"`
	LeastNS unit.Width `json:"least_ns"`
	MostNS  unit.Width `json:"most_ns"`
}

// Takes widens the ends of an output in a list.
func Takes(list []OutputEnds, output int, width unit.Width) []OutputEnds {
	i := slices.IndexFunc(list, func(o OutputEnds) bool { return o.Output == output })
	if i < 0 {
		return append(list, OutputEnds{output, width, width})
	}
	list[i].LeastNS, list[i].MostNS = min(list[i].LeastNS, width), max(list[i].MostNS, width)
	return list
}

// Count is how many steps are known in a way, and what those asked for.
func (d *LimitsData) Count(known LearnedKnown) (names []string) {
	for _, s := range d.Steps {
		if s.Known == known {
			names = append(names, s.Is)
		}
	}
	return names
}

// Doubted is the first step that something speaks against, nil for none.
func (d *LimitsData) Doubted() *LearnedStep {
	i := slices.IndexFunc(d.Steps, func(s LearnedStep) bool { return s.Doubt != "" })
	if i < 0 {
		return nil
	}
	return &d.Steps[i]
}

// HowKnown says how the steps are known: "5 steps seen, 1 said by the builder (choose done)".
func (d *LimitsData) HowKnown() string {
	parts := []string{fmt.Sprintf("%d steps seen", len(d.Count(LearnedSeen)))}
	if said := d.Count(LearnedSaid); len(said) > 0 {
		parts = append(parts, fmt.Sprintf("%d said by the builder (%s)", len(said), strings.Join(said, "; ")))
	}
	if counted := d.Count(LearnedCounted); len(counted) > 0 {
		parts = append(parts, fmt.Sprintf("%d by their time alone", len(counted)))
	}
	return strings.Join(parts, ", ")
}

func limitsLearnedSentence(_ *Event, _ string, d *LimitsData) string {
	s := "limit learning done: " + d.HowKnown()
	if x := d.Doubted(); x != nil {
		return s + "; but " + x.Doubt + ": learn again"
	}
	return s + "; its date goes into the model's papers, as learned"
}
