package world

import "math"

// gate is a round one: the stick of two channels goes no farther than a circle that
// touches their stops.
type gate struct{ across, along int } // like script.channels

// bend keeps the stick inside.
func (g gate) bend(s *Script, widths []int64) {
	x, y := &s.channels[g.across], &s.channels[g.along]
	half := max((x.high-x.low)/2, 1)
	other := max((y.high-y.low)/2, 1)
	dx := widths[g.across] - (x.low+x.high)/2
	dy := (widths[g.along] - (y.low+y.high)/2) * half / other
	far := int64(math.Sqrt(float64(dx*dx + dy*dy))) // exact enough: below 2⁵³
	if far <= half {
		return
	}
	widths[g.across] = (x.low+x.high)/2 + dx*half/far
	widths[g.along] = (y.low+y.high)/2 + dy*half/far*other/half
}
