package claim

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder is to set for a mode.
const (
	fixedValueOff = "%s stands at another value than the sheet's: change the fixed value of channel %d in the " +
		"transmitter to %s, or correct the sheet"
	switchNotWorked = "%s has not moved on this bus: its switch was not worked, or none is assigned to channel %d in " +
		"the transmitter"
	positionsExchanged = "%s stands where its %s belongs: its switch was not at %s, or what its positions send is " +
		"exchanged in the transmitter"
	atNoPlace = "%s stands at no place of the sheet: set what it sends at %s to %s in the transmitter, or correct the " +
		"sheet"
	edgeBetween = "the positions are where the sheet puts them, as far as its tolerance goes, but an edge of the window " +
		"lies between: move them away from that edge in the transmitter"
	noChannelWentFar = "no channel went far: keep the positions away from the edges of their windows in the transmitter"
	takeDelayOff     = "take whatever slows or delays %s, or mixes into it, off the channel in the transmitter"
)

// remedy says for a combination that asks for another mode which channel is not where
// the sheet puts it, and what may be wrong with that one alone.
func (w *wanted) remedy(a *modeMoment, unmoved []string, b *Book) string {
	var parts []string
	for _, s := range w.at {
		c, _ := b.sheet.Channel(s.Channel)
		width, tolerance := a.Widths[c.Name], b.sheet.Tolerance.Position
		if unit.Abs(width-s.Width) <= tolerance {
			continue
		}
		there, known := c.PlaceAt(width, tolerance)
		switch {
		case c.Kind == sheet.Fixed:
			parts = append(parts, fmt.Sprintf(fixedValueOff, c.Name, c.Number, unit.FormatWidth(s.Width)))
		case slices.Contains(unmoved, c.Name):
			parts = append(parts, fmt.Sprintf(switchNotWorked, c.Name, c.Number))
		case known:
			parts = append(parts, fmt.Sprintf(positionsExchanged, c.Name, there.Name, s.Position))
		default:
			parts = append(parts, fmt.Sprintf(atNoPlace, c.Name, s.Position, unit.FormatWidth(s.Width)))
		}
	}
	if len(parts) == 0 {
		return edgeBetween
	}
	return strings.Join(parts, "; ")
}

// detour says what may have led a change through a third mode. One channel does that
// by itself only where something slows it down; of two, the order matters.
func (m *modes) detour(way, to *modeMoment, b *Book) string {
	names := m.changing(way, to, b.sheet.Tolerance.Position)
	switch len(names) {
	case 0:
		return noChannelWentFar
	case 1:
		return fmt.Sprintf(takeDelayOff, names[0])
	}
	together := fmt.Sprintf("let %s change at the same moment and at once in the transmitter", text.And(names))
	if len(names) > 2 {
		return together
	}
	for _, first := range names {
		if mode := m.first(first, to, b.sheet); mode == m.Last.Mode || mode == to.Mode {
			return fmt.Sprintf("%s, or move %s first, which touches no other mode", together, first)
		}
	}
	return together + ", from one switch: by hand, either order touches another mode"
}

// changing names the channels that do not stand where they stood, on the way or at its
// end, sorted.
func (m *modes) changing(way, to *modeMoment, tolerance unit.Width) (names []string) {
	for name, from := range m.Last.Widths {
		if unit.Abs(to.Widths[name]-from) > tolerance || unit.Abs(way.Widths[name]-from) > tolerance {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// first is the mode on the way of a change in which one channel goes before the others.
func (m *modes) first(name string, to *modeMoment, s *sheet.Sheet) string {
	mode, _ := s.ModeAt(func(channel int) unit.Width {
		c, _ := s.Channel(channel)
		if c.Name == name {
			return to.Widths[name]
		}
		return m.Last.Widths[c.Name]
	})
	return mode
}
