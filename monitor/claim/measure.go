package claim

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
