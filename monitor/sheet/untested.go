package sheet

import (
	"fmt"
	"slices"
	"strings"
)

// Untested says what the sheet leaves untested, in its own order: what it does not
// state, or where nothing listens.
func (s *Sheet) Untested() (list []string) {
	list = append(list, s.controlsUntested()...)
	list = append(list, s.modesUntested()...)
	list = append(list, s.outputsUntested()...)
	if s.Failsafe == nil {
		list = append(list, "what happens without a signal: there is no failsafe section")
	}
	if s.Heartbeat == nil {
		list = append(list, "a link that holds its last values while nothing moves: there is no heartbeat")
	}
	if s.Link == nil {
		list = append(list, "how many frames are missed: there is no link section")
	}
	return list
}

func (s *Sheet) controlsUntested() (list []string) {
	var loose []string
	for i := range s.Channels {
		if c := &s.Channels[i]; c.Kind == Stick && c.Neutral == 0 {
			loose = append(loose, c.Name)
		}
	}
	if len(loose) > 0 {
		list = append(list, "where "+strings.Join(loose, ", ")+" rests: no neutral is named")
	}
	if s.Gain == nil {
		list = append(list, "the gain: there is no gain section")
	}
	return list
}

func (s *Sheet) modesUntested() (list []string) {
	if s.Stabiliser == nil {
		return []string{"the modes: there is no stabiliser section"}
	}
	var unwanted, unsaid []string
	for i := range s.Stabiliser.Modes {
		m := &s.Stabiliser.Modes[i]
		if len(m.WantedAt) == 0 {
			unwanted = append(unwanted, m.Name)
		} else if m.Does == "" {
			unsaid = append(unsaid, m.Name)
		}
	}
	if len(unwanted) > 0 {
		list = append(list, "how to come to "+strings.Join(unwanted, ", ")+": no position is wanted for it")
	}
	if len(unsaid) > 0 && s.HasLeads() {
		list = append(list, "what the surfaces do in "+strings.Join(unsaid, ", ")+" when the model is tilted: does is left out")
	}
	if x := s.Righting(); x != nil {
		list = append(list, s.rightingUntested(x)...)
	}
	return list
}

func (s *Sheet) outputsUntested() []string {
	switch {
	case !s.HasLeads():
		return []string{"everything behind the bus, what the stabiliser does among it: no tap listens to the servo leads"}
	case len(s.Outputs) == 0:
		return []string{"what the servo leads do: there is no outputs section"}
	}
	var list, found []string
	for i := range s.Outputs {
		for _, m := range s.Outputs[i].MovedBy {
			if m.Find {
				found = append(found, s.Outputs[i].Surface)
				break
			}
		}
	}
	if len(found) > 0 {
		list = append(list, "whether "+strings.Join(found, ", ")+` move as you want: "?" is found, then the eye is asked`)
	}
	for _, axis := range Axes {
		if s.Stabiliser != nil && len(s.Corrected(axis)) == 0 {
			list = append(list, fmt.Sprintf("whether %s is corrected the right way: no output corrects it", axis))
		}
	}
	return list
}

// rightingUntested is what no drill shows of the righting switch.
func (s *Sheet) rightingUntested(x *Righting) (list []string) {
	shown := s.Overridden()
	if !s.HasLeads() || s.HoldsAttitude() == nil || len(shown) == 0 {
		list = append(list, "what the righting switch does: that takes servo leads, a mode whose answers stay, and one that it overrides whose answers don't")
	}
	var open []string
	for _, name := range x.Over {
		if !slices.ContainsFunc(shown, func(m *Mode) bool { return m.Name == name }) {
			open = append(open, name)
		}
	}
	if len(open) > 0 {
		list = append(list, "whether righting overrides "+strings.Join(open, ", ")+": a tilt shows no difference there, or the mode is wanted nowhere")
	}
	return list
}
