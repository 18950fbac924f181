package compare

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// measure says which figure of a claim is a property of the set-up, in which
// unit, and from which difference on it counts as moved. Figures that no row
// names belong to the sitting (how long it was, where hands had a stick) and are
// never compared.
type measure struct {
	family string // first part of the claim's ID
	figure string
	unit   figureKind
	from   int64 // the least difference that counts
	why    string
}

type figureKind int

const (
	width figureKind = iota // ns of pulse width
	span                    // ns of time
	share                   // parts per million
)

// measures: a width that no hand holds is exact to the bus's counts (0.625 µs on
// the common scale); only a setting can shift it.
// Where a hand or a spring has part in it, what they are good for is left out
// (common practice, and what the simulated hands do).
var measures = []measure{
	{"position", "width_ns", width, 3_000, "a switch repeats to a count or two of the bus"},
	{"momentary", "rest_ns", width, 3_000, "a switch repeats to a count or two of the bus"},
	{"momentary", "pressed_ns", width, 3_000, "a switch repeats to a count or two of the bus"},
	{"margin", "margin_ns", width, 3_000, "a margin moves as its switch does"},
	{"neutral", "width_ns", width, 5_000, "a gimbal that is let go comes back to within 2 µs"},
	{"idle", "width_ns", width, 5_000, "a stick at its stop, with its trim"},
	{"cut", "width_ns", width, 3_000, "the cut is a value of the transmitter, no hand holds it"},
	{"travel", "width_ns", width, 8_000, "a hand brings a stick to its stop within a few µs"},
	{"gain/span", "least_ns", width, 12_000, "a hand turns a knob to its stop"},
	{"gain/span", "most_ns", width, 12_000, "a hand turns a knob to its stop"},
	{"gain/half", "width_ns", width, 26_000, "a hand finds the centre of a knob to a twentieth of its turn"},
	{"failsafe", "now_ns", width, 3_000, "a preset is a value, no hand holds it"},
	{"powerup", "most_ns", width, 3_000, "a preset is a value, no hand holds it"},
	{"failsafe/back", "back_ns", span, int64(unit.Second), "a hand presses a key as it switches the transmitter on"},
	{"failsafe/time", "after_ns", span, int64(50 * unit.Millisecond), "a radio packet, a frame and the adapter's clumping"},
	{"link/missed", "missed_ppm", share, 1_000, "missed frames come in bursts"},
}

// measureOf finds the row of a figure.
func measureOf(id, figure string) (*measure, bool) {
	family, _, _ := strings.Cut(id, "/")
	for i := range measures {
		m := &measures[i]
		if m.figure == figure && (m.family == id || m.family == family) {
			return m, true
		}
	}
	return nil, false
}

// format puts an amount into words.
func (u figureKind) format(v int64) string {
	switch u {
	case span:
		return unit.FormatDuration(unit.Duration(v))
	case share:
		return fmt.Sprintf("%.2f %%", float64(v)/10_000)
	}
	return unit.FormatWidth(unit.Width(v))
}

// held reports that a claim is on a channel which is to hold its value without a
// signal: then its value is where the hand was.
func held(id string, s *sheet.Sheet) bool {
	name, ok := strings.CutPrefix(id, "failsafe/")
	if !ok {
		return false
	}
	c, ok := s.ByName(name)
	if !ok {
		return false
	}
	p, ok := s.Preset(c.Number)
	return ok && p.Rule == sheet.Hold
}
