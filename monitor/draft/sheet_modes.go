package draft

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

func (w *writer) gain() {
	m := w.model
	how := m.Answers["gain"]
	if how.Words == "receiver" {
		w.line(0, how.From, "", "gain: {law: %s}", sheet.InReceiver)
		w.gap()
		return
	}
	c, ok := m.Found[keyGain]
	law := m.Answers["gain:law"]
	if !ok || law.Words == "" {
		return
	}
	zero, full, from := m.gainWidths(&c, law.Words)
	if full == "" {
		w.remark("The gain's law was left out: what it has for none does not lie between its ends.")
		return
	}
	w.line(0, "", "", "gain:")
	w.line(1, Said, "", "channel: %s", c.Name)
	w.line(1, law.From, "by the receiver's manual", "law: %s", law.Words)
	w.line(1, from, "", "zero: %s", zero)
	w.assume(law.From, "gain.law")
	w.assume(from, "gain.zero")
	w.assume(from, "gain.full")
	w.line(1, from, "", "full: %s", full)
	w.gap()
}

// gainWidths are those of none and full gain; full is empty where they make no law.
func (m *Model) gainWidths(c *Control, law string) (zero, full string, from Source) {
	none := m.Answers["gain:zero"]
	if law == sheet.OneSided && c.Kind == sheet.Fixed {
		return none.Words, m.said("gain:full"), none.From
	}
	low, high := c.Places[0].Width, c.Places[len(c.Places)-1].Width
	if law == sheet.OneSided {
		if m.said("gain:none") == "high" {
			low, high = high, low
		}
		return micros(low), micros(high), m.sourceOf("gain:none")
	}
	n, _ := strconv.Atoi(none.Words)
	if at := unit.Width(n) * 1000; at <= min(low, high) || at >= max(low, high) {
		return "", "", Assumed
	}
	return none.Words, fmt.Sprintf("[%s, %s]", micros(low), micros(high)), none.From
}

// window is where a place counts, ns.
type window struct{ lo, hi unit.Width }

const openEnd unit.Width = 3_000_000

// windows are those of the places of a switch, by name: the edges that were said, or the middles between places.
func (m *Model) windows(key string) (list map[string]window, from Source) {
	c := m.Found[key]
	sorted := slices.Clone(c.Places)
	slices.SortFunc(sorted, func(a, b Place) int { return int(a.Width - b.Width) })
	var edges []unit.Width
	from = Assumed
	if a := m.Answers[windowsOf(key)]; a.From == Said && a.Words != wordUnknown {
		edges, from = edgesOf(a.Words), Said
	}
	list = map[string]window{}
	lo := unit.Width(0)
	for i, p := range sorted {
		hi := openEnd
		switch {
		case i == len(sorted)-1:
		case from == Said:
			hi = edges[i]
		default:
			hi = (p.Width + sorted[i+1].Width) / 2_000 * 1000
		}
		list[p.Name] = window{lo, hi}
		lo = hi
	}
	return list, from
}

// everyPlaceInside reports that edges which were said keep each place in its own window.
func (m *Model) everyPlaceInside(key string, list map[string]window) bool {
	for _, p := range m.Found[key].Places {
		if x := list[p.Name]; p.Width < x.lo || p.Width >= x.hi {
			return false
		}
	}
	return true
}

func (w *writer) stabiliser() {
	m := w.model
	if len(m.Modes) == 0 {
		return
	}
	keys, all := m.modeKeys(), map[string]map[string]window{}
	from, source := "manual", Said
	for _, key := range keys {
		list, its := m.windows(key)
		if !m.everyPlaceInside(key, list) {
			w.remark("The edges that were named for %s put one of its places into another window: midway is taken instead.", m.nameOf(key))
			delete(m.Answers, windowsOf(key))
			list, its = m.windows(key)
		}
		if all[key] = list; its != Said {
			from, source = "guess", Assumed
		}
	}
	w.line(0, "", "", "stabiliser:")
	w.line(1, source, "", "windows: {from: %s}", from)
	w.assume(source, "stabiliser.windows.from")
	w.line(1, "", "", "modes:")
	for _, name := range m.modeNamesOnce() {
		w.mode(name, keys, all, source)
	}
	if margin := m.margin(keys, all); margin >= marginLeast {
		w.line(1, Assumed, "", "margin: %s", micros(min(margin/2, marginMost)))
		w.assume(Assumed, "stabiliser.margin")
	}
	w.gap()
}

const (
	marginLeast unit.Width = 40_000
	marginMost  unit.Width = 50_000
)

// margin is the least way from a place to the edge of its window.
func (m *Model) margin(keys []string, all map[string]map[string]window) unit.Width {
	least := openEnd
	for _, key := range keys {
		for _, p := range m.Found[key].Places {
			x := all[key][p.Name]
			least = min(least, p.Width-x.lo, x.hi-p.Width)
		}
	}
	return least
}

func (m *Model) modeNamesOnce() (names []string) {
	for _, x := range m.Modes {
		if !slices.Contains(names, x.Name) {
			names = append(names, x.Name)
		}
	}
	return names
}

// mode writes a mode with its cells, and the places at which it is wanted.
func (w *writer) mode(name string, keys []string, all map[string]map[string]window, source Source) {
	var cells, wanted []string
	seen := map[string]bool{}
	for _, x := range w.model.Modes {
		if x.Name != name {
			continue
		}
		var windows, places []string
		for _, key := range keys {
			c := w.model.Found[key]
			at := all[key][x.At[key]]
			windows = append(windows, fmt.Sprintf("%s: [%s, %s]", c.Name, micros(at.lo), micros(at.hi)))
			places = append(places, c.Name+": "+x.At[key])
		}
		cell := "{" + strings.Join(windows, ", ") + "}"
		if !seen[cell] {
			cells, wanted = append(cells, cell), append(wanted, "{"+strings.Join(places, ", ")+"}")
		}
		seen[cell] = true
	}
	w.line(2, Said, "", "%s:", strconv.Quote(name))
	w.line(3, source, "", "when: [%s]", strings.Join(cells, ", "))
	w.line(3, Said, "by where the switches were put", "wanted_at: [%s]", strings.Join(wanted, ", "))
}

func (w *writer) gestures() {
	words := w.model.said("teach:times")
	c, ok := w.model.Found[keyTeach]
	if !ok || words == "" || words == wordUnknown {
		return
	}
	list := strings.Fields(words)
	w.line(0, "", "", "gestures:")
	w.line(1, Said, "", "limit-learning: {channel: %s, from: rest, to: pressed, times: %s, within: %ss, allowed: in-drill}", c.Name, list[0], list[1])
	w.gap()
}
