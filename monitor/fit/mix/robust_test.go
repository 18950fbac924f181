package mix

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWeight(t *testing.T) {
	for _, x := range []struct {
		r      float64
		gentle bool
		want   float64
	}{
		{0, true, 1},
		{huber, true, 1},
		{-huber, true, 1},
		{2 * huber, true, 0.5},
		{-10 * huber, true, 0.1},
		{0, false, 1},
		{biweight / 2, false, 9. / 16},
		{-biweight / 2, false, 9. / 16},
		{biweight, false, 0},
		{-100, false, 0},
	} {
		assert.InDelta(t, x.want, weight(x.r, x.gentle), 1e-12, "%+v", x)
	}
}

// A fit that leaves out more than 15 % of the rows in use can't be trusted, nor one
// whose rows stray by more than 8 µs.
func TestTorn(t *testing.T) {
	for _, x := range []struct {
		name             string
		in, out, without int
		sigma            float64
		want             bool
	}{
		{"all count", 20, 0, 0, 0.5, false},
		{"three in twenty do not", 17, 3, 0, 0.5, false},
		{"three in nineteen do not", 16, 3, 0, 0.5, true},
		{"what is not in use does not matter", 17, 3, 50, 0.5, false},
		{"nor does it make up for what is", 16, 3, 50, 0.5, true},
		{"rows lie far off", 20, 0, 0, 8, false},
		{"too far", 20, 0, 0, 8.1, true},
	} {
		f := &fitted{sigma: x.sigma, w: slices.Concat(stand(0.01, x.in), stand(0, x.out+x.without))}
		use := slices.Concat(slices.Repeat([]bool{true}, x.in+x.out), make([]bool, x.without))
		assert.Equal(t, x.want, f.torn(use), x.name)
	}
}

func TestLoose(t *testing.T) {
	for _, x := range []struct{ slack, sigma, want float64 }{
		{0, 5, 1},
		{8, 1, 3},
		{8, 0.1, 3}, // a microsecond is taken for the least
		{12, 2, 2},
	} {
		assert.InDelta(t, x.want, (&table{slack: []float64{x.slack}}).loose(0, x.sigma), 1e-12, "%+v", x)
	}
}

// Only rows in use say how far rows stray, each by how loose it is.
func TestSpread(t *testing.T) {
	d, f := line([]float64{0, 0, 0, 0, 0}, []float64{1501, 1502, 1497, 1580, 1506})
	f.u = []float64{0, 0, 0, 0, 0}
	use := []bool{true, true, true, false, false}
	spread := func() float64 {
		var loose []float64
		for i := range d.rows() {
			loose = append(loose, d.loose(i, f.sigma))
		}
		return f.spread(use, loose, nil)
	}
	f.r = residualsOf(d, f.b)
	assert.InDelta(t, 2/0.6745, spread(), 1e-9)
	use[4] = true
	assert.InDelta(t, 3/0.6745, spread(), 1e-9, "the upper one of the middle two")
	d.slack[2], d.slack[4] = 8, 8 // 3 and 6 are then 1 and 2
	assert.InDelta(t, 2/0.6745, spread(), 1e-9)
	f.u = []float64{1, 1, -2, 0, 6}
	assert.InDelta(t, 1/3./0.6745, spread(), 1e-9, "without the part of the episode: 0, 1, 1/3 and 0")
}

// How far the episodes stray is what is left when single rows are accounted for.
func TestDrift(t *testing.T) {
	for _, x := range []struct {
		name  string
		means []float64
		w     []float64 // of each row of an episode
		sigma float64
		want  float64
	}{
		{"none", []float64{0, 0, 0}, []float64{1, 1, 1}, 0, 0},
		{"ten to either side", []float64{-10, 0, 10}, []float64{1, 1, 1}, 0, 10 / 0.6745},
		{"about a middle of 40", []float64{30, 40, 50}, []float64{1, 1, 1}, 0, 10 / 0.6745},
		{"single rows stray", []float64{-10, 0, 10}, []float64{1, 1, 1}, 8, math.Sqrt(100/0.6745/0.6745 - 64./4)},
		{"single rows stray as far", []float64{-10, 0, 10}, []float64{1, 1, 1}, 40, 0},
		{"one that hardly counts", []float64{-10, 0, 10, 90, 90}, []float64{1, 1, 1, 0.2, 0.2}, 0, 10 / 0.6745},
		{"one that just counts", []float64{-10, 0, 90, 90}, []float64{1, 1, 0.25, 0.25}, 0, 90 / 0.6745},
		{"one of wrong pulses", []float64{-10, 0, 10, 90, 90}, []float64{1, 1, 1, 0, 0}, 0, 10 / 0.6745},
	} {
		t.Run(x.name, func(t *testing.T) {
			var widths, w []float64
			for i, m := range x.means {
				widths, w = append(widths, stand(1500+m, 4)...), append(w, stand(x.w[i], 4)...)
			}
			d, f := line(stand(0, len(widths)), widths)
			d.ends = nil
			for i := range x.means {
				d.ends = append(d.ends, 4*(i+1))
			}
			f.w, f.r, f.sigma = w, residualsOf(d, f.b), x.sigma
			assert.InDelta(t, x.want, d.drift(f), 1e-9)
		})
	}
}

func TestPrior(t *testing.T) {
	f := &fitted{sigma: 0.5, drift: 2}
	assert.Equal(t, prior{slope: 0.25, episode: 0.0625}, f.prior())
	f.drift = 0
	assert.True(t, math.IsInf(f.prior().episode, 1))
}

// Rows that lie on a line leave a spread that is not taken for less than board and bus
// have steps, and a wrong one among them is left out.
func TestTheFinestFit(t *testing.T) {
	place := append(ramp(-500, 10, 101), 0)
	var width []float64
	for _, p := range place {
		width = append(width, 1500+0.5*p)
	}
	width[101] = 1700
	d, _ := line(place, width)
	use := slices.Repeat([]bool{true}, len(place))
	use[7] = false
	f := d.robust(use, nil, huberRounds, biweightRounds)
	require.NotNil(t, f)
	assert.InDelta(t, 0.3, f.sigma, 1e-9)
	assert.InDelta(t, 0.5, f.b[1], 1e-4)
	assert.Zero(t, f.w[101], "a wrong pulse")
	assert.Zero(t, f.w[7], "not in use")
	assert.InDelta(t, 1, f.w[50], 0.1)
}

// Most of the time an output is at rest. Few rows of a movement must bend the fit from
// a slope that was taken before to that which they have.
func TestAFitGoesOn(t *testing.T) {
	place := slices.Concat(stand(0, 300), ramp(-500, 40, 26))
	var width []float64
	for i, p := range place {
		width = append(width, 1500-p+0.2*float64(i%3-1))
	}
	d, _ := line(place, width)
	use := slices.Repeat([]bool{true}, len(place))
	f := d.robust(use, nil, huberRounds, biweightRounds)
	require.NotNil(t, f)
	assert.InDelta(t, -1, f.b[1], 1e-3)
	again := d.robust(use, f, 0, biweightRounds)
	require.NotNil(t, again)
	assert.InDelta(t, -1, again.b[1], 1e-3)
	none := d.robust(make([]bool, len(place)), nil, huberRounds, biweightRounds)
	assert.Nil(t, none, "nothing is in use")
}

// A row is wrong by how far it lies from those of its own episode.
func TestADriftMakesNoRowWrong(t *testing.T) {
	d, _ := drawn(8, 300, 2)
	f := d.robust(slices.Repeat([]bool{true}, d.rows()), nil, huberRounds, biweightRounds)
	require.NotNil(t, f)
	out := 0
	for _, w := range f.w {
		if w < 0.1 {
			out++
		}
	}
	assert.LessOrEqual(t, out, 6, "of 300 rows that stray by 2 µs, while the episodes drift by 20")
	assert.InDelta(t, 2, f.sigma, 0.4)
	assert.InDelta(t, 20, f.drift, 8)
}
