package mix

import "math"

const (
	// Tuning constants for 95 % efficiency with normal errors: Huber's psi (Huber,
	// Robust estimation of a location parameter, Ann. Math. Statist. 35, 1964) and
	// Tukey's biweight (Beaton & Tukey, Technometrics 16, 1974).
	huber    = 1.345
	biweight = 4.685
	// normalMAD is the median of the absolute value of a standard normal variable.
	normalMAD = 0.6745

	finest   = 0.3 // µs: what half a step of board and bus leaves of any width
	steepest = 1.0 // the slope that is likely before anything is seen, as a standard deviation

	huberRounds, biweightRounds = 4, 6

	// firstSpread is what the first round takes for the spread at least, µs; each round
	// halves it. Most rows are at rest and lie close together: they would leave out what
	// moves before the slopes are near.
	firstSpread = 20.0

	// oddMost is the share of rows that may be left out as wrong pulses. Beyond that it
	// is not known which of them are.
	oddMost = 0.15

	// restMost is how far rows at rest may lie from a fit that is reported, µs, as a standard
	// deviation: several times what board, bus and a good receiver leave of a width.
	restMost = 8.0
)

// fitted is the outcome of a robust fit.
type fitted struct {
	b     []float64
	w     []float64 // of the rows: by how much each counted
	r     []float64 // of the rows: what is left of it, with the part of its episode, µs
	u     []float64 // of the rows: the part of its episode, µs
	sigma float64   // spread of what is left of a row at rest, µs
	drift float64   // spread of the episodes' parts, µs
}

func (f *fitted) prior() prior {
	s := float64(f.sigma * f.sigma)
	return prior{slope: s / (steepest * steepest), episode: s / (f.drift * f.drift)}
}

// robust fits by iteratively reweighted least squares: Huber's weights until the
// fit is near, then the biweight, which leaves wrong pulses out altogether. Only
// rows in use count. It goes on from a fit before, if there is one. Nil: nothing to
// go by.
func (t *table) robust(use []bool, before *fitted, hubers, biweights int) *fitted {
	n := t.rows()
	room := t.room.take(5 * n)
	f := &fitted{w: room[:n:n], r: room[n : 2*n : 2*n], u: room[2*n : 3*n : 3*n], sigma: firstSpread, drift: firstSpread}
	loose, size := room[3*n:4*n:4*n], room[4*n:4*n]
	if before != nil {
		f.b, f.sigma, f.drift = before.b, before.sigma, before.drift
		t.residuals(f.r, f.b)
		t.parts(f.u, f.r, before.w, f.prior())
	}
	least := firstSpread
	if hubers == 0 {
		least = t.finest
	}
	loosened := 0.0 // the spread that loose is for: several rounds in a row have the same
	for round := 0; ; round++ {
		if s := max(1, f.sigma); s != loosened {
			for i := range loose {
				loose[i] = t.loose(i, s)
			}
			loosened = s
		}
		for i, u := range use {
			switch l := loose[i]; {
			case !u:
				f.w[i] = 0
			case f.b == nil:
				f.w[i] = over(1, l*l)
			default:
				r := over(f.r[i]-f.u[i], l) / f.sigma
				f.w[i] = over(weight(r, round <= hubers), l*l)
			}
		}
		if f.b = t.solve(f.w, f.prior()); f.b == nil {
			return nil
		}
		t.residuals(f.r, f.b)
		t.parts(f.u, f.r, f.w, f.prior())
		if round == hubers+biweights {
			return f
		}
		f.sigma = max(t.finest, f.spread(use, loose, size), least)
		least /= 2
		f.drift = max(t.finest/10, t.drift(f))
	}
}

func weight(r float64, gentle bool) float64 {
	r = math.Abs(r)
	switch {
	case gentle && r <= huber:
		return 1
	case gentle:
		return huber / r
	case r >= biweight:
		return 0
	}
	q := r / biweight
	return float64((1 - float64(q*q)) * (1 - float64(q*q)))
}

// over is a value by how loose its row is: mostly that is 1, and nothing need be divided.
func over(v, loose float64) float64 {
	if loose == 1 {
		return v
	}
	return v / loose
}

// spread is the standard deviation of what is left of the rows in use, by its median, each
// by how loose it is.
func (f *fitted) spread(use []bool, loose, size []float64) float64 {
	for i, u := range use {
		if u {
			size = append(size, over(math.Abs(f.r[i]-f.u[i]), loose[i]))
		}
	}
	return median(size) / normalMAD
}

// drift is the standard deviation of the parts of the episodes about their middle:
// what their means stray more than single rows account for. It goes by medians, since
// in an episode may be little but wrong pulses.
func (t *table) drift(f *fitted) float64 {
	means, noise := t.room.take(len(t.ends))[:0], t.room.take(len(t.ends))[:0]
	from := 0
	for _, end := range t.ends {
		ws, rs := 0.0, 0.0
		for i := from; i < end; i++ {
			if f.w[i] != 0 {
				ws, rs = ws+f.w[i], rs+float64(f.w[i]*f.r[i])
			}
		}
		if ws >= 1 {
			means, noise = append(means, rs/ws), append(noise, f.sigma*f.sigma/ws)
		}
		from = end
	}
	middle := median(means)
	for i, m := range means {
		means[i] = math.Abs(m - middle)
	}
	spread := median(means) / normalMAD
	return math.Sqrt(max(0, float64(spread*spread)-median(noise)))
}

// loose is how uncertain a row is against one at rest, by the movement going on.
func (t *table) loose(i int, sigma float64) float64 {
	if t.slack[i] == 0 {
		return 1
	}
	s := max(1, sigma)
	return math.Sqrt(1 + t.slack[i]/(s*s))
}

// torn reports a fit that can't be trusted: it leaves out too many rows, or those at
// rest lie farther from it than any output that follows a sum strays. A line through
// what a limit bent looks so.
func (f *fitted) torn(use []bool) bool {
	if f.sigma > restMost {
		return true
	}
	in, out := 0, 0
	for i, u := range use {
		if u {
			in++
			if f.w[i] == 0 {
				out++
			}
		}
	}
	return float64(out) > oddMost*float64(in)
}
