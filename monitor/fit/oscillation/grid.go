package oscillation

import "benchproof.example/monitor/unit"

// Grid turns pulses, which come when they come, into evenly spaced widths: the mean
// over each Step of the straight lines between them. The zero value is ready; its
// exported fields are what a checkpoint keeps.
type Grid struct {
	Widths [Samples]unit.Width
	N      int // of those that are known
	Begun  bool
	Rise   unit.Duration // where the lines have been followed to, ns
	Width  unit.Width    // there
	End    unit.Duration // of the step under way
	Area   int64         // under the lines so far in it, ns²
	Period unit.Duration // of the pulses, the latest, ns
}

// Reset begins anew: what comes next does not follow what came before.
func (g *Grid) Reset() { g.N, g.Begun = 0, false }

// Full reports whether Samples widths are known.
func (g *Grid) Full() bool { return g.N == Samples }

// Drop forgets the n oldest widths.
func (g *Grid) Drop(n int) { g.N = copy(g.Widths[:], g.Widths[n:g.N]) }

// Pulse takes a pulse, ns of a clock that goes on; one that is not later than the one
// before is left out. What a full grid does not hold is lost: Drop some before.
func (g *Grid) Pulse(rise unit.Duration, width unit.Width) {
	if !g.Begun {
		g.Begun, g.Rise, g.Width, g.Area, g.End = true, rise, width, 0, rise+Interval
		return
	}
	if rise <= g.Rise {
		return
	}
	g.Period = rise - g.Rise
	for g.Rise < rise {
		to, at := rise, width
		if g.End < rise {
			to, at = g.End, g.Width+(width-g.Width)*unit.Width(g.End-g.Rise)/unit.Width(rise-g.Rise)
		}
		g.Area += int64(g.Width+at) * int64(to-g.Rise) / 2
		g.Rise, g.Width = to, at
		if to == g.End {
			g.step()
		}
	}
}

func (g *Grid) step() {
	if g.N < Samples {
		g.Widths[g.N] = unit.Width(g.Area / int64(Interval))
		g.N++
	}
	g.Area, g.End = 0, g.End+Interval
}
