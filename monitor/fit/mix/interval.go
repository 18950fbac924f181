package mix

import (
	"math"

	"benchproof.example/monitor/unit"
)

const (
	normal95 = 1.96
	careful  = 1.3 // the residuals of a fit are smaller than the errors in it
	// blurry is what steps, holds and small dead bands do to a range as a whole, µs. A
	// drift in step with the stick could do as much as it is wide.
	blurry = 2.0
)

// sure is half of the interval of each column's coefficient, 95 %. Samples of one
// movement are not independent, and a stabiliser drifts: how alike what is left is
// over time is measured, within episodes and between them, and each pair counts
// with that.
func (t *table) sure(f *fitted) []float64 {
	inv := t.inverse(f.w, f.prior())
	if inv == nil {
		return nil
	}
	left := t.room.take(t.rows())
	square, count := 0.0, 0.0
	for i, w := range f.w {
		if w != 0 {
			left[i] = (t.residual(f.b, i) - f.u[i]) / t.loose(i, f.sigma)
			square, count = square+float64(left[i]*left[i]), count+1
		}
	}
	sigma2 := max(f.sigma*f.sigma, square/max(count, 1))
	parts, dates := t.room.take(len(t.ends)), make([]unit.Time, len(t.ends))
	for g, end := range t.ends {
		parts[g], dates[g] = f.u[end-1], t.at[end-1]
	}
	rows, episodes := within.alike(left, t.at), between.alike(parts, dates)
	half := make([]float64, t.cols)
	for c := range t.cols {
		own, whole := t.shares(inv[c*t.cols:(c+1)*t.cols], f)
		v := float64(sigma2*within.pairs(own, t.at, rows)) + float64(f.drift*f.drift*between.pairs(whole, dates, episodes))
		half[c] = float64(normal95*careful*math.Sqrt(v)) + (blurry+f.drift)/t.width(c)
	}
	return half
}

// shares are by how much the errors of rows and the parts of episodes enter a
// coefficient, given its row of the inverse.
func (t *table) shares(inv []float64, f *fitted) (own, whole []float64) {
	own, whole = t.room.take(t.rows()), t.room.take(len(t.ends))
	from := 0
	for g, end := range t.ends {
		ws, zs := 0.0, 0.0
		for i := from; i < end; i++ {
			own[i] = dot(inv, t.row(i))
			ws, zs = ws+f.w[i], zs+float64(f.w[i]*own[i])
		}
		mean := zs / (ws + f.prior().episode)
		for i := from; i < end; i++ {
			own[i] = float64(f.w[i] * (own[i] - mean))
			whole[g] += own[i]
			own[i] *= t.loose(i, f.sigma)
		}
		from = end
	}
	return own, whole
}

// width is the range of a column, but for single odd rows.
func (t *table) width(c int) float64 {
	var list outermost
	for i := range t.rows() {
		list.add(t.row(i)[c])
	}
	return list.width()
}

// kin says how long errors may be alike, and in which steps that is measured.
type kin struct{ span, bin unit.Duration }

var (
	within  = kin{episodeLasts, 20 * unit.Millisecond}
	between = kin{5_000 * unit.Millisecond, 250 * unit.Millisecond}
)

// strangers are so little alike that it is chance.
const strangers = 0.05

// alike is how alike errors are, by the time between them: falling from 1 to 0.
func (k kin) alike(v []float64, at []unit.Time) []float64 {
	sum, count := make([]float64, k.span/k.bin), make([]float64, k.span/k.bin)
	own, n := 0.0, 0.0
	for i := range v {
		if v[i] == 0 {
			continue
		}
		own, n = own+float64(v[i]*v[i]), n+1
		for j := i - 1; j >= 0 && at[i].Sub(at[j]) < k.span; j-- {
			if v[j] != 0 {
				sum[at[i].Sub(at[j])/k.bin] += float64(v[i] * v[j])
				count[at[i].Sub(at[j])/k.bin]++
			}
		}
	}
	before := 1.0
	for i := range sum {
		if count[i] > 0 {
			before = min(before, sum[i]/count[i]/max(own/n, 1e-12))
		}
		if before < strangers {
			before = 0
		}
		sum[i] = before
	}
	return sum
}

// pairs is the sum over all pairs of errors, each with how alike they are.
func (k kin) pairs(z []float64, at []unit.Time, alike []float64) float64 {
	own, cross := 0.0, 0.0
	bins := len(alike)
	for bins > 0 && alike[bins-1] == 0 {
		bins--
	}
	span := k.bin * unit.Duration(bins) // farther apart, none is like another
	for i := range z {
		own += float64(z[i] * z[i])
		for j := i - 1; j >= 0 && at[i].Sub(at[j]) < span; j-- {
			cross += float64(2 * alike[at[i].Sub(at[j])/k.bin] * z[i] * z[j])
		}
	}
	return max(own, own+cross)
}
