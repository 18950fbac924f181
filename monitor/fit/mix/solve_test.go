package mix

import (
	"math"
	"math/rand/v2"
	"testing"

	"benchproof.example/monitor/unit"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// drawn is a table with rows in episodes of ten and a part of its own in each.
func drawn(seed uint64, rows, channels int) (*table, []float64) {
	rng := rand.New(rand.NewPCG(seed, 5))
	t := &table{cols: 1 + channels, finest: finest}
	w := make([]float64, rows)
	own := 0.0
	for i := range rows {
		if i%10 == 0 {
			own = 20 * rng.NormFloat64()
		}
		t.x = append(t.x, 1)
		y := 1500 + own + 2*rng.NormFloat64()
		for c := range channels {
			v := 1000 * (rng.Float64() - 0.5)
			t.x = append(t.x, v)
			y += v * (0.5 - float64(c)/3)
		}
		t.y, t.slack, t.at = append(t.y, y), append(t.slack, 0), append(t.at, unit.Time(unit.Duration(i)*20*unit.Millisecond))
		w[i] = rng.Float64()
		if i%10 == 9 {
			t.ends = append(t.ends, i+1)
		}
	}
	return t, w
}

// residualsOf are how far the rows lie from what coefficients make of them.
func residualsOf(t *table, b []float64) []float64 {
	r := make([]float64, t.rows())
	t.residuals(r, b)
	return r
}

// augmented solves the same problem by QR, the priors as rows and the parts of the
// episodes as columns of their own.
func augmented(t *testing.T, d *table, w []float64, p prior) []float64 {
	parts := 0
	if !math.IsInf(p.episode, 1) {
		parts = len(d.ends)
	}
	n := d.cols + parts
	rows := d.rows() + d.cols - 1 + parts
	a, b := mat.NewDense(rows, n, nil), mat.NewDense(rows, 1, nil)
	episode := 0
	for i := range d.rows() {
		if i == d.ends[episode] {
			episode++
		}
		s := math.Sqrt(w[i])
		for j, v := range d.row(i) {
			a.Set(i, j, s*v)
		}
		if parts > 0 {
			a.Set(i, d.cols+episode, s)
		}
		b.Set(i, 0, s*d.y[i])
	}
	for j := 1; j < d.cols; j++ {
		a.Set(d.rows()+j-1, j, math.Sqrt(p.slope))
	}
	for g := range parts {
		a.Set(d.rows()+d.cols-1+g, d.cols+g, math.Sqrt(p.episode))
	}
	var x mat.Dense
	require.NoError(t, x.Solve(a, b)) // by QR
	return mat.Col(nil, 0, &x)
}

// The weighted least squares are those of gonum's QR, which goes another way.
func TestSolveAgainstGonum(t *testing.T) {
	for seed := uint64(0); seed < 20; seed++ {
		d, w := drawn(seed, 200, 1+int(seed%8))
		for _, p := range []prior{{0, math.Inf(1)}, {3, math.Inf(1)}, {0.5, 0.1}, {0, 2}} {
			want, got := augmented(t, d, w, p), d.solve(w, p)
			for j := range d.cols {
				assert.InEpsilon(t, want[j], got[j], 1e-9, "seed %d, prior %v, column %d", seed, p, j)
			}
			parts := make([]float64, d.rows())
			d.parts(parts, residualsOf(d, got), w, p)
			for g := range want[d.cols:] {
				assert.InDelta(t, want[d.cols+g], parts[d.ends[g]-1], 1e-7, "part %d", g)
			}
		}
	}
}

func TestLineAgainstGonum(t *testing.T) {
	d, w := drawn(3, 100, 1)
	x := make([]float64, d.rows())
	for i := range x {
		x[i] = d.row(i)[1]
	}
	a, b := stat.LinearRegression(x, d.y, w, false)
	got := d.solve(w, prior{0, math.Inf(1)})
	assert.InEpsilon(t, a, got[0], 1e-9)
	assert.InEpsilon(t, b, got[1], 1e-9)
}

func TestInverseAgainstGonum(t *testing.T) {
	d, w := drawn(4, 100, 5)
	a, _ := d.normal(w, prior{0.5, 0.1})
	s := mat.NewSymDense(d.cols, nil)
	for i := range d.cols {
		for j := range i + 1 {
			s.SetSym(i, j, a[i*d.cols+j])
		}
	}
	var want mat.Dense
	require.NoError(t, want.Inverse(s))
	got := d.inverse(w, prior{0.5, 0.1})
	for i := range d.cols {
		for j := range d.cols {
			assert.InDelta(t, want.At(i, j), got[i*d.cols+j], 1e-9*math.Abs(want.At(i, i))+1e-15)
		}
	}
}

// Nothing to go by is said, not guessed.
func TestSingular(t *testing.T) {
	d, w := drawn(5, 50, 2)
	for i := range d.rows() {
		d.row(i)[2] = 0
	}
	assert.Nil(t, d.solve(w, prior{0, math.Inf(1)}))
	assert.Nil(t, d.inverse(w, prior{0, math.Inf(1)}))
}

// One wrong row in ten does not bend the fit, whatever it says.
func TestRobust(t *testing.T) {
	d, _ := drawn(6, 300, 3)
	use := make([]bool, d.rows())
	for i := range use {
		use[i] = true
	}
	clean := d.robust(use, nil, huberRounds, biweightRounds)
	for i := 3; i < d.rows(); i += 10 {
		d.y[i] = 800 + float64(i*37%1400)
	}
	got := d.robust(use, nil, huberRounds, biweightRounds)
	for j := 1; j < d.cols; j++ {
		assert.InDelta(t, clean.b[j], got.b[j], 0.002)
		assert.InDelta(t, 0.5-float64(j-1)/3, got.b[j], 0.005)
	}
	for i := 3; i < d.rows(); i += 10 {
		if math.Abs(d.residual(got.b, i)) > 100 {
			assert.Zero(t, got.w[i])
		}
	}
}

func TestMedian(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for n := range 200 {
		v := make([]float64, n)
		for i := range v {
			v[i] = float64(rng.IntN(1 + n/2))
		}
		want := 0.0
		if n > 0 {
			for _, x := range v {
				below, above := 0, 0
				for _, y := range v {
					if y < x {
						below++
					}
					if y <= x {
						above++
					}
				}
				if below <= n/2 && n/2 < above {
					want = x
				}
			}
		}
		assert.Equal(t, want, median(v), n)
	}
}
