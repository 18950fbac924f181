package oscillation

// Grid turns pulses, which come when they come, into evenly spaced widths: the mean
// over each Step of the straight lines between them. The zero value is ready; its
// exported fields are what a checkpoint keeps.
type Grid struct {
	Widths [Samples]int64 // ns
	N      int            // of those that are known
	Begun  bool
	Rise   int64 // where the lines have been followed to, ns
	Width  int64 // there
	End    int64 // of the step under way
	Area   int64 // under the lines so far in it, ns²
	Period int64 // of the pulses, the latest, ns
}

// Reset begins anew: what comes next does not follow what came before.
func (g *Grid) Reset() { g.N, g.Begun = 0, false }

// Full reports whether Samples widths are known.
func (g *Grid) Full() bool { return g.N == Samples }

// Drop forgets the n oldest widths.
func (g *Grid) Drop(n int) { g.N = copy(g.Widths[:], g.Widths[n:g.N]) }

// Pulse takes a pulse, ns of a clock that goes on; one that is not later than the one
// before is left out. What a full grid does not hold is lost: Drop some before.
func (g *Grid) Pulse(rise, width int64) {
	if !g.Begun {
		g.Begun, g.Rise, g.Width, g.Area, g.End = true, rise, width, 0, rise+Step
		return
	}
	if rise <= g.Rise {
		return
	}
	g.Period = rise - g.Rise
	for g.Rise < rise {
		to, at := rise, width
		if g.End < rise {
			to, at = g.End, g.Width+(width-g.Width)*(g.End-g.Rise)/(rise-g.Rise)
		}
		g.Area += (g.Width + at) * (to - g.Rise) / 2
		g.Rise, g.Width = to, at
		if to == g.End {
			g.step()
		}
	}
}

func (g *Grid) step() {
	if g.N < Samples {
		g.Widths[g.N] = g.Area / Step
		g.N++
	}
	g.Area, g.End = 0, g.End+Step
}
