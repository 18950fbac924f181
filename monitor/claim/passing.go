package claim

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of modes that are passed.
const (
	changesSeen         = "the changes seen %s; the last was from %s to %s"
	passedAtOwnPosition = "passed through %s only where a lever passed a position of its own, which it must"
	didNotPass          = "did not pass through %s for %d frames or more on their way (%d ms at rest are no passing but " +
		"a mode asked for)"
	passedUnplaced = "the change from %s to %s passed through %s (%s), but where %s lies is not seen right yet, and the " +
		"lever passes it: put it there first"
	passedThrough = "the change from %s to %s passed through %s (%s): %s"
)

// passable are the modes that may be touched on the way, and none at all.
func (m *modes) passable(s *sheet.Sheet) []string {
	list := []string{}
	for i := range s.Stabiliser.Modes {
		list = append(list, s.Stabiliser.Modes[i].Name)
	}
	return append(list, noModeID)
}

// passed judges what was touched between two moments at which the channels
// stood. A lever that passes its own middle goes where it must: that is no fault.
// A third cell that neither end of the change explains is one. A change that was not
// watched from its beginning to its end shows neither.
func (m *modes) passed(to *modeMoment, b *Book) {
	if m.Last == nil || m.Last.Mode == to.Mode || m.Blind {
		return
	}
	touched := m.touched(to, b)
	span := event.Span{From: m.Last.Span.From, To: to.Span.To}
	for _, name := range m.passable(b.sheet) {
		if name != passName(m.Last.Mode) && name != passName(to.Mode) && !slices.Contains(touched, name) {
			m.missed(name, m.Last.Mode, to.Mode, span, b)
		}
	}
}

// missed takes a change that did not pass through a mode, or only as it must. To have seen enough of
// them takes one from or to each wanted mode, none of them from or to the mode itself.
func (m *modes) missed(name, from, to string, span event.Span, b *Book) {
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
	text := fmt.Sprintf(changesSeen, m.how(name), text.ModeName(from), text.ModeName(to))
	if len(lack) > 0 {
		b.unclear(FamilyPassing.ID(name), text+"; still to be left or come to: "+strings.Join(lack, ", "))
		return
	}
	b.right(FamilyPassing.ID(name), text, span, nil)
}

// how says what the changes did with a mode, and what counts as passing: each touch is
// reported as such when it is seen.
func (m *modes) how(name string) string {
	mode := text.ModeName(dePassName(name))
	if slices.Contains(m.Own, name) {
		return fmt.Sprintf(passedAtOwnPosition, mode)
	}
	return fmt.Sprintf(didNotPass,
		mode, event.MinModeFrames, event.ModeSettleTime/unit.Millisecond)
}

// touched finds against what was passed through, or in doubt of it, and names it.
func (m *modes) touched(to *modeMoment, b *Book) (touched []string) {
	for i := range m.Passing {
		p := &m.Passing[i]
		name := passName(p.Mode)
		if p.Mode == m.Last.Mode || p.Mode == to.Mode { // what is left or arrived at is on no way
			continue
		}
		if m.natural(m.Last, p, to, b) {
			if !slices.Contains(m.Own, name) {
				m.Own = append(m.Own, name)
			}
			continue
		}
		touched = append(touched, name)
		from, now, through := text.ModeName(m.Last.Mode), text.ModeName(to.Mode), text.ModeName(p.Mode)
		if own := m.unplaced(p, to, b); own != "" {
			delete(m.Ends, name) // what was seen of it before is not enough any more
			b.unclear(FamilyPassing.ID(name), fmt.Sprintf(passedUnplaced, from, now, through, widths(p.Widths), own))
			continue
		}
		b.wrong(FamilyPassing.ID(name), fmt.Sprintf(passedThrough, from, now, through, widths(p.Widths), m.detour(p, to, b)),
			p.Span, nil)
	}
	return touched
}

func passName(mode string) string {
	if mode == "" {
		return noModeID
	}
	return mode
}

func dePassName(name string) string {
	if name == noModeID {
		return ""
	}
	return name
}

// natural reports that a lever stood, on its way, at a place of its own between
// the two, and every other channel where it came from or went to.
func (m *modes) natural(from, way, to *modeMoment, b *Book) bool {
	tolerance, between := b.sheet.Tolerance.Position, false
	for name, at := range way.Widths {
		if unit.Abs(at-from.Widths[name]) <= tolerance || unit.Abs(at-to.Widths[name]) <= tolerance {
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

// unplaced names a position between the two ends of a change that a lever passes and
// that was not seen where the sheet puts it: what is touched on the way may be that. ""
// where there is none.
func (m *modes) unplaced(way, to *modeMoment, b *Book) string {
	tolerance := b.sheet.Tolerance.Position
	for name, at := range way.Widths {
		if unit.Abs(at-m.Last.Widths[name]) <= tolerance || unit.Abs(at-to.Widths[name]) <= tolerance {
			continue
		}
		c, _ := b.sheet.ByName(name)
		low, high := min(m.Last.Widths[name], to.Widths[name]), max(m.Last.Widths[name], to.Widths[name])
		for _, p := range c.Places {
			k, claimed := b.byID[FamilyPosition.ID(name, p.Name)]
			if claimed && k.Verdict != VerdictRight && p.Width > low && p.Width < high {
				return p.Name + " of " + name
			}
		}
	}
	return ""
}
