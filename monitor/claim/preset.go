package claim

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// presetMode is the mode that the presets of a sheet ask for, whatever stands on
// channels that it leaves alone.
type presetMode struct {
	name     string
	channels []int // that decide it
}

// wantedMode is false where the sheet's presets leave the mode open.
func wantedMode(s *sheet.Sheet) (m presetMode, ok bool) {
	if s.Stabiliser == nil || s.Failsafe == nil {
		return m, false
	}
	for _, mode := range s.Stabiliser.Modes {
		for _, cell := range mode.When {
			if decided(s, cell) {
				m.name = mode.Name
				for _, window := range cell {
					m.channels = append(m.channels, window.Channel)
				}
				return m, true
			}
		}
	}
	return m, false
}

// decided reports that presets put every channel of a cell into its window.
func decided(s *sheet.Sheet, cell sheet.Cell) bool {
	return !slices.ContainsFunc(cell, func(w sheet.Window) bool {
		p, ok := s.Preset(w.Channel)
		fixed := ok && (p.Rule == sheet.Exact || p.Rule == sheet.AtPlace)
		return !fixed || p.Width < w.Lo || p.Width >= w.Hi
	})
}

// shownBy reports that a loss shows what is asked for: none of the channels stood
// where its preset may be, and each was watched for long enough.
func (m *presetMode) shownBy(d *event.LossData) bool {
	return d.ModeNS >= 0 && !slices.ContainsFunc(m.channels, func(ch int) bool {
		if ch > len(d.Channels) || d.Channels[ch-1].Class == event.LossUnclear {
			return true
		}
		_, early := watchedTooShort("", &d.Channels[ch-1], d)
		return early
	})
}
