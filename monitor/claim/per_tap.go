package claim

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// perTap is a judge of what one receiver's bus shows, one for each tap that was heard:
// what two receivers send is no movement from one to the other.
type perTap struct {
	of   map[string]judge // by tap
	make func() judge
}

func newPerTap(fresh func() judge) *perTap { return &perTap{of: map[string]judge{}, make: fresh} }

// see hands an event to the judge of its tap; one that is about no tap to all.
func (p *perTap) see(e *event.Event, b *Book) {
	tap, ok := tapOf(e)
	if !ok {
		for _, name := range slices.Sorted(maps.Keys(p.of)) {
			p.of[name].see(e, b)
		}
		return
	}
	if p.of[tap] == nil {
		p.of[tap] = p.make()
	}
	p.of[tap].see(e, b)
}

// tapOf names the tap that an event is about or was seen at; false for none.
func tapOf(e *event.Event) (string, bool) {
	switch d := e.Data.(type) {
	case event.SwitchData:
		return d.Tap, true
	case event.ModeData:
		return d.Tap, true
	case event.DrillAnsweredData:
		return d.Tap, true
	}
	return event.AboutTap.Name(e.About)
}

// forget is for what was changed since.
func (p *perTap) forget(what string, at unit.Time) {
	for _, j := range p.of {
		if f, ok := j.(interface {
			forget(what string, at unit.Time)
		}); ok {
			f.forget(what, at)
		}
	}
}

// MarshalJSON keeps the judges by tap.
func (p *perTap) MarshalJSON() ([]byte, error) { return json.Marshal(p.of) }

// UnmarshalJSON puts them back.
func (p *perTap) UnmarshalJSON(raw []byte) error {
	var of map[string]json.RawMessage
	if err := json.Unmarshal(raw, &of); err != nil {
		return fmt.Errorf("judges by tap: %w", err)
	}
	for tap, state := range of {
		j := p.make()
		if err := json.Unmarshal(state, j); err != nil {
			return fmt.Errorf("state of a %T of tap %s: %w", j, tap, err)
		}
		p.of[tap] = j
	}
	return nil
}
