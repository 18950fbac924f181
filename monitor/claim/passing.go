package claim

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// passable are the modes that may be touched on the way, and none at all.
func (m *modes) passable(s *sheet.Sheet) []string {
	list := []string{}
	for i := range s.Stabiliser.Modes {
		list = append(list, s.Stabiliser.Modes[i].Name)
	}
	return append(list, noMode)
}

// passed judges what was touched between two moments at which the channels
// stood. A lever that passes its own middle goes where it must: that is no fault.
// A third cell that neither end of the change explains is one.
func (m *modes) passed(to *asked, b *Book) {
	if m.Last == nil || m.Last.Mode == to.Mode {
		return
	}
	m.touched(to, b)
	if m.Blind {
		return
	}
	span := fact.Span{From: m.Last.Span.From, To: to.Span.To}
	for _, name := range m.passable(b.sheet) {
		if name != passName(m.Last.Mode) && name != passName(to.Mode) {
			m.missed(name, m.Last.Mode, to.Mode, span, b)
		}
	}
}

// missed takes a change that did not pass through a mode. To have seen enough of
// them takes one from or to each wanted mode, none of them from or to the mode itself.
func (m *modes) missed(name, from, to string, span fact.Span, b *Book) {
	for _, end := range []string{from, to} {
		if !slices.Contains(m.Ends[name], end) {
			m.Ends[name] = append(m.Ends[name], end)
		}
	}
	var lack []string
	for i := range b.sheet.Stabiliser.Modes {
		mode := &b.sheet.Stabiliser.Modes[i]
		if len(mode.WantedAt) > 0 && mode.Name != name && !slices.Contains(m.Ends[name], mode.Name) {
			lack = append(lack, mode.Name)
		}
	}
	text := fmt.Sprintf("the changes seen did not pass through %s on their way; the last was from %s to %s", say.Mode(dePassName(name)), say.Mode(from), say.Mode(to))
	if len(lack) > 0 {
		b.unclear("passing/"+name, text+"; still to be left or come to: "+strings.Join(lack, ", "))
		return
	}
	b.right("passing/"+name, text, span, nil)
}

// touched finds against what was passed through.
func (m *modes) touched(to *asked, b *Book) {
	for i := range m.Passing {
		p := &m.Passing[i]
		if p.Mode == m.Last.Mode || p.Mode == to.Mode || m.natural(m.Last, p, to, b) { // what is left or arrived at is on no way
			continue
		}
		b.wrong("passing/"+passName(p.Mode), fmt.Sprintf("the change from %s to %s passed through %s (%s): %s",
			say.Mode(m.Last.Mode), say.Mode(to.Mode), say.Mode(p.Mode), widths(p.Widths), m.detour(p, to, b)), p.Span, nil)
	}
}

func passName(mode string) string {
	if mode == "" {
		return noMode
	}
	return mode
}

func dePassName(name string) string {
	if name == noMode {
		return ""
	}
	return name
}

// natural reports that a lever stood, on its way, at a place of its own between
// the two, and every other channel where it came from or went to.
func (m *modes) natural(from, way, to *asked, b *Book) bool {
	tolerance, between := b.sheet.Tolerance.Position, false
	for name, at := range way.Widths {
		if abs(at-from.Widths[name]) <= tolerance || abs(at-to.Widths[name]) <= tolerance {
			continue
		}
		c, _ := b.sheet.ByName(name)
		if b.placeOf(way.Tap, c, at) == "" || (at < from.Widths[name]) == (at < to.Widths[name]) {
			return false
		}
		between = true
	}
	return between
}
