package sheet

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/unit"
)

// Stabiliser says which channel widths ask for which mode, and where on the
// transmitter the builder wants each mode.
type Stabiliser struct {
	From     string // where the windows come from: "manual", "measured" or "guess"
	Modes    []Mode
	Margin   unit.Width // ns that a wanted position keeps from its cell's edges; 0: none asked
	Shift    unit.Width // ns that a resting output may jump when the mode changes; 0: no limit is set
	Righting *Righting  // a switch that overrides the mode and brings the model upright; nil: there is none

	Measure     []string // what drills are to find in figures: MeasureDegrees, ...
	LevelWithin int      // degrees that its level may be off the attitude for flying; 0: see LevelLimit
}

// Mode is one mode of the stabiliser. A mode that no position is wanted for
// still has its cells, so that the bench can name it.
type Mode struct {
	Name     string
	When     []Cell
	WantedAt []Combination
	Does     string // how the outputs answer a tilt that is held: DoesNothing, DoesReturn, DoesStay; "" where the sheet does not say
}

// How the outputs answer a tilt that is held for some seconds (common practice):
// not at all; with a kick that returns, since a rate is corrected; with a
// correction that stays, since an attitude is.
const (
	DoesNothing = "nothing"
	DoesReturn  = "returns"
	DoesStay    = "stays"
)

// Cell is a set of windows, of different channels, that must all hold.
type Cell []Window

// Holds reports whether every window holds at the widths, in ns, that width
// gives for a channel number.
func (c Cell) Holds(width func(channel int) unit.Width) bool {
	for _, window := range c {
		if w := width(window.Channel); w < window.Lo || w >= window.Hi {
			return false
		}
	}
	return true
}

// Margin is the way from widths that hold to the cell's nearest edge, ns. Edges that
// no pulse reaches don't count.
func (c Cell) Margin(width func(channel int) unit.Width) unit.Width {
	least := unit.Width(1) << 40
	for _, window := range c {
		at := width(window.Channel)
		least = min(least, at-window.Lo, window.Hi-at)
	}
	return least
}

// Window is the half-open range [Lo, Hi) of one channel's width, ns.
type Window struct {
	Channel int
	Lo, Hi  unit.Width
}

// Combination is a set of channel positions, all taken at once.
type Combination []Setting

// Setting is one channel at one of its places.
type Setting struct {
	Channel  int
	Position string
	Width    unit.Width // ns
}

func (r *reader) stabiliser(n *node) {
	if n == nil {
		return
	}
	s := &Stabiliser{}
	r.sheet.Stabiliser = s
	rec := r.record(n, "the stabiliser")
	s.From, _ = r.choice(r.record(rec.get("windows"), "windows").get("from"))
	s.Margin, _ = r.ownWidth(rec.get("margin"))
	s.Shift, _ = r.ownWidth(rec.get("neutral_shift_at_most"))
	for _, e := range r.entries(rec.get("modes")) {
		s.Modes = append(s.Modes, r.mode(e))
	}
	s.Righting = r.righting(rec.get("righting"))
	r.measure(rec, s)
}

// pressed reads a switch that does something at one of its places.
func (r *reader) pressed(n *node, what string) *Setting {
	if n == nil {
		return nil
	}
	return r.setting(r.record(n, n.key), what)
}

// setting reads the channel and the position of a section about a switch.
func (r *reader) setting(rec *record, what string) *Setting {
	c, ok := r.channel(rec.get("channel"))
	when := rec.get("when")
	if !ok || !r.pressable(rec.get("channel"), c, what) {
		return nil
	}
	place, _ := r.place(when, c)
	return &Setting{c.Number, place.Name, place.Width}
}

func (r *reader) mode(e entry) Mode {
	var m Mode
	m.Name, _ = r.name(e.key)
	rec := r.record(e.value, "mode "+e.key.text)
	for _, n := range r.list(rec.get("when")) {
		m.When = append(m.When, r.cell(n))
	}
	for _, n := range r.list(rec.get("wanted_at")) {
		m.WantedAt = append(m.WantedAt, r.combination(n))
	}
	m.Does, _ = r.choice(rec.get("does"))
	return m
}

func (r *reader) cell(n *node) Cell {
	var cell Cell
	for _, e := range r.entries(n) {
		c, known := r.modeChannel(e.key)
		from, to, ok := r.pair(e.value, "two widths such as [1300, 1700], from the first up to but not including the second,")
		if !ok {
			continue
		}
		lo, okLo := r.edge(from)
		hi, okHi := r.edge(to)
		if okLo && okHi && lo >= hi {
			r.refuse(e.value, fmt.Sprintf("the empty window [%s, %s]", from.text, to.text), "a first width smaller than the second")
		}
		if known {
			cell = append(cell, Window{c.Number, lo, hi})
		}
	}
	return cell
}

// edge reads one edge of a window, which may lie beyond what the bus carries.
func (r *reader) edge(n *node) (unit.Width, bool) {
	if n != nil && n.percentage() {
		return r.ofPercent(n)
	}
	return r.widthBetween(n, 0, longest, "a width from 0 to "+micros(longest))
}

func (r *reader) combination(n *node) Combination {
	var combination Combination
	for _, e := range r.entries(n) {
		c, known := r.modeChannel(e.key)
		if !known {
			continue
		}
		if place, ok := r.place(e.value, c); ok {
			combination = append(combination, Setting{c.Number, place.Name, place.Width})
		}
	}
	return combination
}

// modeChannel reads a channel that may choose a mode. A stick or the throttle
// moves all the time in flight, and the mode with it.
func (r *reader) modeChannel(n *node) (*Channel, bool) {
	c, ok := r.channel(n)
	if ok && (c.Kind == Stick || c.Kind == Throttle) {
		r.refuse(n, fmt.Sprintf("%s, a channel of kind %s, to choose a mode", c.Name, c.Kind), "a switch, a momentary switch, a knob or a fixed channel")
	}
	return c, ok
}

// pressable refuses a channel that is no switch.
func (r *reader) pressable(n *node, c *Channel, what string) bool {
	if c.Kind != "" && c.Kind != Switch && c.Kind != Momentary {
		r.refuse(n, fmt.Sprintf("%s, a channel of kind %s, for %s", c.Name, c.Kind, what), "a switch or a momentary switch")
		return false
	}
	return true
}

// words writes a combination as people say it.
func (r *reader) words(combination Combination) string {
	parts := make([]string, len(combination))
	for i, s := range combination {
		c, _ := r.sheet.Channel(s.Channel)
		parts[i] = fmt.Sprintf("%s %s (%s)", c.Name, s.Position, micros(s.Width))
	}
	return strings.Join(parts, " with ")
}
