package world

import "math"

// GatePlan is a round one: the stick of two channels goes no farther than a circle that
// touches their stops.
type GatePlan struct{ Across, Along int } // like Plan.Channels

// bend keeps the stick inside.
func (g GatePlan) bend(s *Plan, widths []int64) {
	x, y := &s.Channels[g.Across], &s.Channels[g.Along]
	half := max((x.High-x.Low)/2, 1)
	other := max((y.High-y.Low)/2, 1)
	dx := widths[g.Across] - (x.Low+x.High)/2
	dy := (widths[g.Along] - (y.Low+y.High)/2) * half / other
	far := int64(math.Sqrt(float64(dx*dx + dy*dy))) // exact enough: below 2⁵³
	if far <= half {
		return
	}
	widths[g.Across] = (x.Low+x.High)/2 + dx*half/far
	widths[g.Along] = (y.Low+y.High)/2 + dy*half/far*other/half
}
