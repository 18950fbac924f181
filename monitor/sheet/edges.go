package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/unit"
)

// Edge is where the receiver goes from one mode to the next along a channel: what lies below it asks
// for Below, what lies above it for Above.
//
//	damping          | upright
//	From ........ Ends Begins ........ To
type Edge struct {
	Name    string // "damping/upright", with a number behind it where the channel has several of that name
	Channel int
	Below   *Mode
	Above   *Mode
	Ends    unit.Width  // of the window below, as the sheet has it, ns
	Begins  unit.Width  // of the one above, ns
	From    unit.Width  // where Below is surely asked for, ns
	To      unit.Width  // where Above is
	With    Combination // where the other channels stand that choose the mode
}

// Alike reports that the sheet has both modes answer a tilt in the same way: nothing shows the edge then.
func (e *Edge) Alike() bool { return e.Below.Does != "" && e.Below.Does == e.Above.Does }

// Edges are those between the modes that lie beside one another along a channel that hands move, each once,
// by channel and width. Of an edge that is there with several places of the other channels it is that
// whose modes answer in different ways.
func (s *Sheet) Edges() (list []Edge) {
	for _, n := range s.ModeChannels() {
		c, ok := s.Channel(n)
		if !ok || c.Kind == Fixed || len(c.Places) == 0 {
			continue
		}
		var along []Edge
		for _, others := range s.othersThan(n) {
			for _, e := range s.edgesAlong(c, others) {
				i := slices.IndexFunc(along, func(was Edge) bool { return was.Ends == e.Ends && was.Begins == e.Begins })
				switch {
				case i < 0:
					along = append(along, e)
				case along[i].Alike() && !e.Alike():
					along[i] = e
				}
			}
		}
		slices.SortStableFunc(along, func(a, b Edge) int { return cmp.Compare(a.Ends, b.Ends) })
		list = append(list, named(along)...)
	}
	return list
}

// othersThan are the places of the other mode channels at which a mode is wanted, each once.
func (s *Sheet) othersThan(channel int) (list []Combination) {
	for i := range s.Stabiliser.Modes {
		for _, at := range s.Stabiliser.Modes[i].WantedAt {
			others := slices.DeleteFunc(slices.Clone(at), func(set Setting) bool { return set.Channel == channel })
			if !slices.ContainsFunc(list, func(was Combination) bool { return slices.Equal(was, others) }) {
				list = append(list, others)
			}
		}
	}
	return list
}

// span is a window of one channel and the mode that it asks for.
type span struct {
	Window
	mode *Mode
}

// edgesAlong are the edges of a channel with the others at their places.
func (s *Sheet) edgesAlong(c *Channel, others Combination) (list []Edge) {
	spans := s.spansAlong(c.Number, others)
	for i := 1; i < len(spans); i++ {
		below, above := spans[i-1], spans[i]
		from, okFrom := c.insideOf(below.Window, true)
		to, okTo := c.insideOf(above.Window, false)
		if below.mode != above.mode && okFrom && okTo {
			list = append(list, Edge{Channel: c.Number, Below: below.mode, Above: above.mode,
				Ends: below.Hi, Begins: above.Lo, From: from, To: to, With: others})
		}
	}
	return list
}

// spansAlong are the windows of a channel that hold with the others at their places, ascending.
func (s *Sheet) spansAlong(channel int, others Combination) (spans []span) {
	for i := range s.Stabiliser.Modes {
		m := &s.Stabiliser.Modes[i]
		for _, cell := range m.When {
			at, holds := -1, true
			for k, w := range cell {
				width, known := others.at(w.Channel)
				switch {
				case w.Channel == channel:
					at = k
				case !known || width < w.Lo || width >= w.Hi:
					holds = false
				}
			}
			if holds && at >= 0 {
				spans = append(spans, span{cell[at], m})
			}
		}
	}
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.Lo, b.Lo) })
	return spans
}

// insideOf is a width of the channel's travel inside a window: the place in it that lies nearest to its upper
// or its lower end, else the middle of what the travel reaches of it; false where that is nothing.
func (c *Channel) insideOf(w Window, upper bool) (unit.Width, bool) {
	least, most := c.Places[0].Width, c.Places[0].Width
	var inside []unit.Width
	for _, p := range c.Places {
		least, most = min(least, p.Width), max(most, p.Width)
		if p.Width >= w.Lo && p.Width < w.Hi {
			inside = append(inside, p.Width)
		}
	}
	switch lo, hi := max(least, w.Lo), min(most, w.Hi); {
	case len(inside) > 0 && upper:
		return slices.Max(inside), true
	case len(inside) > 0:
		return slices.Min(inside), true
	default:
		return (lo + hi) / 2, lo < hi
	}
}

// named gives the edges of a channel their names.
func named(edges []Edge) []Edge {
	times := map[string]int{}
	for i := range edges {
		e := &edges[i]
		e.Name = e.Below.Name + "/" + e.Above.Name
		if times[e.Name]++; times[e.Name] > 1 {
			e.Name = fmt.Sprintf("%s/%d", e.Name, times[e.Name])
		}
	}
	return edges
}

// checkEdges refuses to have edges measured where nothing would show one.
func (r *reader) checkEdges(stabiliser *node) {
	edges := r.sheet.Edges()
	if r.sheet.Measures(MeasureEdges) && !slices.ContainsFunc(edges, func(e Edge) bool { return !e.Alike() }) {
		r.refuse(stabiliser.find("measure"), "edges to be measured, and no two modes beside one another that answer a tilt in different ways",
			"modes whose does differs, or is left out, on a channel that a hand moves")
	}
}

// Found is an edge that was measured: it lies between two widths, ns.
type Found struct {
	Channel  int
	Ends     unit.Width // as the sheet has it, of the window below
	Begins   unit.Width // of that above
	From, To unit.Width // between which it lies
}

// borders reports that a window ends or begins at the edge.
func (f *Found) borders(w Window) bool {
	return f.Channel == w.Channel && (f.Ends == w.Hi || f.Begins == w.Lo)
}

// WindowLines are the lines of the sheet, in its order, of all modes with a window that ends or begins at the latest of the edges
// that were measured. So all of a grid may be copied: what is left as it was would overlap what is not.
func (s *Sheet) WindowLines(found []Found) (lines []string) {
	latest := &found[len(found)-1]
	for i := range s.Stabiliser.Modes {
		m := &s.Stabiliser.Modes[i]
		if slices.ContainsFunc(m.When, func(c Cell) bool { return slices.ContainsFunc(c, latest.borders) }) {
			lines = append(lines, s.windowLine(m, found))
		}
	}
	return lines
}

// windowLine is a mode's line with the edges that were measured in it: a window ends where an edge begins to be in
// doubt, so that a margin counts from there.
func (s *Sheet) windowLine(m *Mode, found []Found) string {
	cells := make([]string, 0, len(m.When))
	for _, cell := range m.When {
		windows := make([]string, 0, len(cell))
		for _, w := range cell {
			c, _ := s.Channel(w.Channel)
			lo, hi := w.Lo, w.Hi
			for _, f := range found {
				if f.Channel == w.Channel && f.Ends == w.Hi {
					hi = f.From / 1000 * 1000
				}
				if f.Channel == w.Channel && f.Begins == w.Lo {
					lo = (f.To + 999) / 1000 * 1000
				}
			}
			windows = append(windows, fmt.Sprintf("%s: [%s, %s]", c.Name, plain(lo), plain(hi)))
		}
		cells = append(cells, "{"+strings.Join(windows, ", ")+"}")
	}
	return fmt.Sprintf("%s: when: [%s]", m.Name, strings.Join(cells, ", "))
}

// plain is a width as a sheet has it, without its unit.
func plain(w unit.Width) string { return strings.TrimSuffix(unit.FormatWidth(w), " µs") }
