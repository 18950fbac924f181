package mix

import "math"

// prior is what is known before a fit, as weights against that of a row: of each
// slope, that it is near 0; of each episode, that its own part, by which all of its
// rows lie off since a stabiliser drifts, is near 0. An episode of math.Inf has none.
type prior struct{ slope, episode float64 }

// normal gathers the normal equations of weighted least squares. The parts of the
// episodes are worked out of them beforehand: a generalised least squares whose
// errors have a part in common within an episode.
func (t *table) normal(w []float64, p prior) (a, b []float64) {
	n := t.cols
	room := t.room.take(n * (n + 2))
	var sum []float64
	a, b, sum = room[:n*n:n*n], room[n*n:n*n+n:n*n+n], room[n*n+n:]
	from := 0
	for _, end := range t.ends {
		clear(sum)
		ys := 0.0
		i := from
		for ; i+4 <= end; i += 4 {
			ys = t.addFour(a, b, sum, ys, i, w[i:i+4])
		}
		for ; i < end; i++ {
			add(a, b, t.row(i), t.y[i], w[i])
			ys += float64(w[i] * t.y[i])
			for j, x := range t.row(i) {
				sum[j] += float64(w[i] * x)
			}
		}
		if ws := sum[0]; ws > 0 && !math.IsInf(p.episode, 1) {
			add(a, b, sum, ys, -1/(ws+p.episode))
		}
		from = end
	}
	for j := 1; j < n; j++ {
		a[j*n+j] += p.slope
	}
	return a, b
}

// add adds one row, in the lower half.
func add(a, b, row []float64, y, w float64) {
	n := len(row)
	for j, x := range row {
		wx := float64(w * x)
		b[j] += float64(wx * y)
		for k, v := range row[:j+1] {
			a[j*n+k] += float64(wx * v)
		}
	}
}

// addFour adds four rows from one on, and sums up what each column and the width have by their
// weight. It is add, one row after the other, to the last bit, but has each place in hand for
// all four.
func (t *table) addFour(a, b, sum []float64, ys float64, from int, w []float64) float64 {
	n := t.cols
	r1, r2, r3, r4 := t.row(from), t.row(from+1), t.row(from+2), t.row(from+3)
	y1, y2, y3, y4 := t.y[from], t.y[from+1], t.y[from+2], t.y[from+3]
	w1, w2, w3, w4 := w[0], w[1], w[2], w[3]
	r1, r2, r3, r4, b, sum = r1[:n], r2[:n], r3[:n], r4[:n], b[:n], sum[:n]
	for j := range n {
		x1, x2, x3, x4 := float64(w1*r1[j]), float64(w2*r2[j]), float64(w3*r3[j]), float64(w4*r4[j])
		b[j] = b[j] + float64(x1*y1) + float64(x2*y2) + float64(x3*y3) + float64(x4*y4)
		sum[j] = sum[j] + x1 + x2 + x3 + x4
		line := a[j*n:]
		for k := range j + 1 {
			line[k] = line[k] + float64(x1*r1[k]) + float64(x2*r2[k]) + float64(x3*r3[k]) + float64(x4*r4[k])
		}
	}
	return ys + float64(w1*y1) + float64(w2*y2) + float64(w3*y3) + float64(w4*y4)
}

// cholesky turns the lower half of a symmetric matrix into its factor. False: it is
// not positive definite.
func cholesky(a []float64, n int) bool {
	for j := range n {
		for i := j; i < n; i++ {
			s := a[i*n+j]
			for k := range j {
				s -= float64(a[i*n+k] * a[j*n+k])
			}
			switch {
			case i > j:
				a[i*n+j] = s / a[j*n+j]
			case s <= 0:
				return false
			default:
				a[j*n+j] = math.Sqrt(s)
			}
		}
	}
	return true
}

// back solves for b, given the factor.
func back(f, b []float64, n int) {
	for i := range n {
		for k := range i {
			b[i] -= float64(f[i*n+k] * b[k])
		}
		b[i] /= f[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			b[i] -= float64(f[k*n+i] * b[k])
		}
		b[i] /= f[i*n+i]
	}
}

// solve is weighted least squares: the coefficients that make the weighted sum of
// squares least, priors counted with it. Nil: nothing to go by.
func (t *table) solve(w []float64, p prior) []float64 {
	a, b := t.normal(w, p)
	if !cholesky(a, t.cols) {
		return nil
	}
	back(a, b, t.cols)
	return b
}

// inverse is that of the normal equations' matrix, nil where there is none.
func (t *table) inverse(w []float64, p prior) []float64 {
	n := t.cols
	a, _ := t.normal(w, p)
	if !cholesky(a, n) {
		return nil
	}
	inv := make([]float64, n*n)
	for j := range n {
		inv[j*n+j] = 1
		back(a, inv[j*n:(j+1)*n], n)
	}
	return inv
}

// residuals are how far the rows lie from what coefficients make of them, µs.
func (t *table) residuals(r, b []float64) {
	for i := range r {
		r[i] = t.residual(b, i)
	}
}

// residual is how far row i lies from what coefficients make of it, µs.
func (t *table) residual(b []float64, i int) float64 { return t.y[i] - dot(t.row(i), b) }

// parts are those of the episodes, row by row, µs: the share of what the rows of an
// episode lie off by in common, where r is what each lies off by.
func (t *table) parts(u, r, w []float64, p prior) {
	from := 0
	for _, end := range t.ends {
		ws, rs := 0.0, 0.0
		for i := from; i < end; i++ {
			if w[i] != 0 {
				ws, rs = ws+w[i], rs+float64(w[i]*r[i])
			}
		}
		part := 0.0
		if ws > 0 && !math.IsInf(p.episode, 1) {
			part = rs / (ws + p.episode)
		}
		for i := from; i < end; i++ {
			u[i] = part
		}
		from = end
	}
}

func dot(a, b []float64) (s float64) {
	b = b[:len(a)]
	for i, v := range a {
		s += float64(v * b[i])
	}
	return s
}
