package sheet

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/unit"
)

// The rules of a Preset. Follows, Stops and Silent are of outputs only.
const (
	Hold    = "hold"     // the last value stays
	Exact   = "width"    // goes to Width
	AtMost  = "at_most"  // goes to Width or below
	AtLeast = "at_least" // goes to Width or above
	AtPlace = "place"    // goes to a place of the channel; Width is the place's
	Follows = "follows"  // does what the stabiliser makes of the channels: keeps moving, rightly
	Stops   = "stops"    // the motor stops: cut, or no pulses
	Silent  = "silent"   // no pulses
)

// Preset is what failsafe does to one channel or output.
type Preset struct {
	Rule  string
	Place string     // the place's name, with AtPlace
	Width unit.Width // ns; 0 with Hold, Follows, Stops and Silent
}

// Says is where a preset has something go, as a part of a sentence.
func (p Preset) Says() string {
	width := unit.FormatWidth(p.Width)
	switch p.Rule {
	case Hold:
		return "holds its last value"
	case AtMost:
		return width + " or less"
	case AtLeast:
		return width + " or more"
	case AtPlace:
		return p.Place
	case Follows:
		return "follows the stabiliser"
	case Stops:
		return "stops"
	case Silent:
		return "no pulses"
	}
	return width
}

// Met reports that a channel which stood at was and now stands at now, ns, does as
// the preset wants.
func (p Preset) Met(was, now, tolerance unit.Width) bool {
	switch p.Rule {
	case Hold:
		return max(was-now, now-was) <= tolerance
	case AtMost:
		return now <= p.Width+tolerance
	case AtLeast:
		return now >= p.Width-tolerance
	}
	return max(now-p.Width, p.Width-now) <= tolerance
}

// wantedHeard says what may stand for the preset of a channel.
const wantedHeard = "hold, a width, {at_most: 1000}, {at_least: 2000}"

// preset reads what a channel does; c is nil for the default of all channels,
// which can have no place.
func (r *reader) preset(n *node, c *Channel) (Preset, bool) {
	switch {
	case n.shape == refused:
		return Preset{}, false
	case n.shape == table:
		return r.bound(n, r.width)
	case n.shape == word && n.text == Hold:
		return Preset{Rule: Hold}, true
	case n.startsNumber():
		width, ok := r.width(n)
		return Preset{Rule: Exact, Width: width}, ok
	case n.shape == word && c != nil:
		place, ok := r.place(n, c)
		return Preset{AtPlace, place.Name, place.Width}, ok
	}
	want := wantedHeard
	if c != nil {
		want += " or a position of " + c.Name
	}
	r.refuse(n, n.found(), want)
	return Preset{}, false
}

// bound reads {at_most: WIDTH} or {at_least: WIDTH}.
func (r *reader) bound(n *node, width func(*node) (unit.Width, bool)) (Preset, bool) {
	rec := r.record(n, "a preset")
	if len(rec.keys) == 0 && len(n.entries) > 0 {
		return Preset{}, false
	}
	if len(rec.keys) != 1 {
		r.refuse(n, fmt.Sprintf("%d bounds for a preset", len(rec.keys)), "one of {at_most: 1000}, {at_least: 2000}")
		return Preset{}, false
	}
	rule := AtMost
	if rec.get(AtMost) == nil {
		rule = AtLeast
	}
	value, ok := width(rec.get(rule))
	return Preset{Rule: rule, Width: value}, ok
}

func (n *node) startsNumber() bool {
	return n.shape == number || n.shape == word && strings.IndexAny(n.text, "0123456789.+-") == 0
}

// leads reads the presets of outputs. A key is an output number, a surface, or
// "motor" for every output that the motor's channel moves.
func (r *reader) leads(p *Presets, n *node) {
	for _, e := range r.entries(n) {
		preset, ok := r.leadPreset(e.value)
		if e.key.text == "default" {
			p.Default = preset
			continue
		}
		numbers := r.outputsCalled(e.key)
		for _, number := range numbers {
			if slices.ContainsFunc(p.Named, func(other PresetFor) bool { return other.Number == number }) {
				r.refuse(e.key, fmt.Sprintf("a second preset for output %d", number), "one preset for each output")
				break
			}
			if ok {
				p.Named = append(p.Named, PresetFor{number, preset})
			}
		}
	}
}

func (r *reader) leadPreset(n *node) (Preset, bool) {
	switch {
	case n.shape == refused:
		return Preset{}, false
	case n.shape == table:
		return r.bound(n, r.pulse)
	case n.startsNumber():
		width, ok := r.pulse(n)
		return Preset{Rule: Exact, Width: width}, ok
	}
	if rule, ok := r.choice(n); ok {
		return Preset{Rule: rule}, true
	}
	return Preset{}, false
}

// pulse reads the width of a servo pulse. It need not fit the bus; the bounds
// are wider than narrow-pulse servos and long throws need (common practice:
// 700 to 2300 us, narrow pulses near 760 us).
func (r *reader) pulse(n *node) (unit.Width, bool) {
	const least, most = 300_000, 3_000_000
	return r.widthBetween(n, least, most, fmt.Sprintf("a pulse width from %s to %s", micros(least), micros(most)))
}
