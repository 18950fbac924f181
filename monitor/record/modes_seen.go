package record

import (
	"slices"
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// ModeSeen is one pairing of switch positions with what the bus asked for there.
type ModeSeen struct {
	Tap, Positions, Mode string
	Widths               string    // of the channels that choose the mode, by their names
	At                   unit.Time // first seen
	Passing              bool      // the switches were on their way
}

// modesSeen gathers them, each once.
type modesSeen struct {
	List     []ModeSeen
	Switches map[string][]switchAt // by tap, in order of appearance
}

type switchAt struct{ Name, Position string }

func (m *modesSeen) see(e *event.Event) {
	switch d := e.Data.(type) {
	case event.SwitchData:
		name, _ := event.AboutSwitch.Name(e.About)
		m.moved(d.Tap, name, d.To)
	case event.ModeData:
		m.asked(e, &d)
	}
}

func (m *modesSeen) moved(tap, name, to string) {
	all := m.Switches[tap]
	i := slices.IndexFunc(all, func(s switchAt) bool { return s.Name == name })
	if i < 0 {
		m.Switches[tap] = append(all, switchAt{name, to})
		return
	}
	all[i].Position = to
}

func (m *modesSeen) asked(e *event.Event, d *event.ModeData) {
	if d.Signal == event.SignalFailsafe || d.Suspect {
		return // not what the switches asked for
	}
	one := ModeSeen{Tap: d.Tap, Mode: text.ModeName(d.Mode), At: e.From, Passing: d.Passing, Positions: m.positions(d), Widths: widthsOf(d.Widths)}
	same := func(b ModeSeen) bool {
		return one.Tap == b.Tap && one.Positions == b.Positions && one.Mode == b.Mode && one.Passing == b.Passing
	}
	if !slices.ContainsFunc(m.List, same) {
		m.List = append(m.List, one)
	}
}

// positions are those of the switches that choose the mode.
func (m *modesSeen) positions(d *event.ModeData) string {
	var list []string
	for _, s := range m.Switches[d.Tap] {
		if _, chooses := d.Widths[s.Name]; chooses {
			list = append(list, s.Name+" "+s.Position)
		}
	}
	return strings.Join(list, ", ")
}

func widthsOf(w map[string]unit.Width) string {
	names := make([]string, 0, len(w))
	for n := range w {
		names = append(names, n)
	}
	slices.Sort(names)
	for i, n := range names {
		names[i] = unit.FormatWidth(w[n])
	}
	return strings.Join(names, ", ")
}
