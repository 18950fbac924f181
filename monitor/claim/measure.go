package claim

import "benchproof.example/monitor/unit"

// Measure says which figure of a claim is a property of the set-up, in which unit, and
// from which difference on it counts as moved between two sessions. Figures that no
// measure names belong to the sitting (how long it was, where hands had a stick) and are
// never compared.
//
// A width that no hand holds is exact to the bus's counts (0.625 µs on the common scale);
// only a setting can shift it. Where a hand or a spring has part in it, what they are good
// for is left out (common practice, and what the simulated hands do).
type Measure struct {
	Of     string // the claim of the family, the part behind it in the ID; "" for each that has the figure
	Figure string // its name
	In     MeasureUnit
	From   int64 // the least difference that counts, in that unit
	Why    string
}

// MeasureUnit is what a figure counts.
type MeasureUnit int

// The units of measures.
const (
	InWidth MeasureUnit = iota // ns of pulse width
	InTime                     // ns of time
	InShare                    // parts per million
)

// Measure is that of a figure of the claim, false for one that is never compared.
func (c *Claim) Measure(figure string) (Measure, bool) {
	for _, m := range families[c.Family].measures {
		if m.Figure == figure && (m.Of == "" || m.Of == c.Part) {
			return m, true
		}
	}
	return Measure{}, false
}

// The reasons that more than one figure has, and those of the table of families.
const (
	whyStop    = "a hand brings a stick to its stop within a few µs"
	whyNeutral = "a gimbal that is let go comes back to within 2 µs"
	whyIdle    = "a stick at its stop, with its trim"
	whyCut     = "the cut is a value of the transmitter, no hand holds it"
	whySwitch  = "a switch repeats to a count or two of the bus"
	whyPreset  = "a preset is a value, no hand holds it"
	whyKnob    = "a hand turns a knob to its stop"
)

// inWidth is for figures in width that each claim of a family has.
func inWidth(from unit.Width, why string, figures ...string) (list []Measure) {
	for _, f := range figures {
		list = append(list, Measure{"", f, InWidth, int64(from), why})
	}
	return list
}

var gainMeasures = []Measure{
	{"span", "least_ns", InWidth, 12_000, whyKnob},
	{"span", "most_ns", InWidth, 12_000, whyKnob},
	{"half", "width_ns", InWidth, 26_000, "a hand finds the centre of a knob to a twentieth of its turn"},
}

var failsafeMeasures = []Measure{
	{"", "now_ns", InWidth, 3_000, whyPreset},
	{"back", "back_ns", InTime, int64(unit.Second), "a hand presses a key as it switches the transmitter on"},
	{"time", "after_ns", InTime, int64(50 * unit.Millisecond), "a radio packet, a frame and the adapter's clumping"},
}

var linkMeasures = []Measure{{"missed", "missed_ppm", InShare, 1_000, "missed frames come in bursts"}}
