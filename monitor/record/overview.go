package record

import (
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// mostSignals is how many lines about the signal an overview keeps.
const mostSignals = 60

// Overview is what the events of a sitting add up to that the state does not say: which modes
// were asked for, what happened to the signal, what servo leads showed. A record's outputs are
// its outputs. It judges nothing and is bounded, however long a sitting is.
type Overview struct {
	Modes modesSeen
	Leads leads

	Papers []event.Paper `json:",omitempty"` // of the model, as they stand

	Signals     []string // what happened to the signal, in sentences with their time
	MoreSignals int      // how many came behind those

	sheet *sheet.Sheet
}

// NewOverview makes an empty one for a sheet.
func NewOverview(s *sheet.Sheet) *Overview {
	return &Overview{
		sheet: s, Modes: modesSeen{Switches: map[string][]switchAt{}},
		Leads: leads{drills: drill.NewIndex(s), Silent: map[int]bool{}},
	}
}

// See takes the next event.
func (o *Overview) See(e *event.Event) {
	o.Modes.see(e)
	o.Leads.see(e, o.sheet)
	switch d := e.Data.(type) {
	case event.PapersData:
		o.Papers, _, _ = event.WithPaper(o.Papers, d.Paper)
	case event.FailsafeData, event.LinkData:
		o.signal(e)
	case event.ValuesStillData:
		if e.Kind == event.ValuesStill {
			o.signal(e)
		}
	}
}

func (o *Overview) signal(e *event.Event) {
	if len(o.Signals) == mostSignals {
		o.MoreSignals++
		return
	}
	o.Signals = append(o.Signals, unit.FormatClock(e.From)+"  "+event.Sentence(e))
}

// ModesSeen are the pairings of positions and modes, in order of appearance.
func (o *Overview) ModesSeen() []ModeSeen { return o.Modes.List }

// OutputsSeen are the outputs that events were about, by number.
func (o *Overview) OutputsSeen() []Output {
	list := slices.Clone(o.Leads.Outputs)
	for i := range list {
		if named, ok := o.sheet.Output(list[i].Output); ok {
			list[i].Surface = named.Surface
		}
	}
	return list
}

// FellSilent reports that an output's pulses stopped and have not come back.
func (o *Overview) FellSilent(output int) bool { return o.Leads.Silent[output] }
