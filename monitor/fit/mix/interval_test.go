package mix

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/unit"
)

func TestTheRangeOfAColumn(t *testing.T) {
	d, _ := line([]float64{3, -900, 5, 1, 900, 0, 7, 4, -2, 800, -800}, stand(1500, 11))
	assert.InDelta(t, 5, d.width(1), 0.01, "from 0 to 5, but for three at either side")
	d, _ = line([]float64{0, 900, 1, 2, -900}, stand(1500, 5))
	assert.InDelta(t, 0, d.width(1), 0.01, "the middle one")
	assert.InDelta(t, 0, d.width(0), 0.01)
}

// at is n dates, a step apart.
func at(step unit.Duration, n int) (list []unit.Time) {
	for i := range n {
		list = append(list, unit.Time(unit.Duration(i)*step))
	}
	return list
}

func TestHowAlikeErrorsAre(t *testing.T) {
	k := kin{100 * unit.Millisecond, 20 * unit.Millisecond}
	for _, x := range []struct {
		name string
		v    []float64
		step unit.Duration
		want []float64
	}{
		{"all the same", []float64{2, 2, 2, 2, 2, 2}, 20 * unit.Millisecond, []float64{1, 1, 1, 1, 1}},
		{"by turns", []float64{1, -1, 1, -1, 1, -1}, 20 * unit.Millisecond, []float64{1, 0, 0, 0, 0}},
		{"in pairs", []float64{1, 1, -1, -1, 1, 1, -1, -1}, 10 * unit.Millisecond, []float64{1. / 7, 0, 0, 0, 0}},
		{"more alike again later", []float64{1, 1, 1, -1, 1, 1, 1, 1}, 20 * unit.Millisecond, []float64{1, 3. / 7, 2. / 6, 1. / 5, 1. / 5}},
		{"wrong pulses don't count", []float64{2, 0, 2, 0, 2, 2}, 20 * unit.Millisecond, []float64{1, 1, 1, 1, 1}},
		{"a stranger", []float64{1, 0.04}, 20 * unit.Millisecond, []float64{1, 0.04 / (1.0016 / 2), 0.04 / (1.0016 / 2), 0.04 / (1.0016 / 2), 0.04 / (1.0016 / 2)}},
		{"more of a stranger", []float64{1, 0.02}, 20 * unit.Millisecond, []float64{1, 0, 0, 0, 0}},
		{"not near in time", []float64{1, -1, 1}, 100 * unit.Millisecond, []float64{1, 1, 1, 1, 1}},
	} {
		t.Run(x.name, func(t *testing.T) {
			assert.InDeltaSlice(t, x.want, k.alike(x.v, at(x.step, len(x.v))), 1e-9)
		})
	}
}

func TestPairsOfErrors(t *testing.T) {
	k := kin{100 * unit.Millisecond, 20 * unit.Millisecond}
	alike := []float64{1, 0.5, 0.25, 0.25, 0}
	for _, x := range []struct {
		name string
		z    []float64
		step unit.Duration
		want float64
	}{
		{"one", []float64{3}, 20 * unit.Millisecond, 9},
		{"two", []float64{1, 2}, 20 * unit.Millisecond, 1 + 4 + 2*0.5*2},
		{"three", []float64{1, 1, 1}, 20 * unit.Millisecond, 3 + 2*(0.5+0.5+0.25)},
		{"at one time", []float64{1, 1}, 10 * unit.Millisecond, 4},
		{"too far apart", []float64{1, 2}, 100 * unit.Millisecond, 5},
		{"they make up for each other, which is chance", []float64{1, -1}, 20 * unit.Millisecond, 2},
	} {
		assert.InDelta(t, x.want, k.pairs(x.z, at(x.step, len(x.z)), alike), 1e-9, x.name)
	}
}

// tossed is a channel at 5 µs to either side of neutral in ten episodes of ten rows,
// which lie by turns a microsecond above and below the fit: errors of 1 µs that are not
// alike.
func tossed(place func(row int) float64) (*table, *fitted) {
	var x, y []float64
	for i := range 100 {
		x, y = append(x, place(i)), append(y, 1500+place(i)+float64(1-2*(i/2%2)))
	}
	d, f := line(x, y)
	for i := range d.at {
		d.at[i] = unit.Time(unit.Duration(i/10)*200*unit.Millisecond + unit.Duration(i%10)*20*unit.Millisecond)
	}
	d.ends = nil
	for end := 10; end <= 100; end += 10 {
		d.ends = append(d.ends, end)
	}
	f.w, f.u, f.sigma = stand(1, 100), make([]float64, 100), 0.5
	return d, f
}

// With errors that have nothing to do with each other, the interval is that of plain
// least squares, 1.96 standard deviations, with care, and what blurs a range beside.
func TestAnIntervalOfPlainErrors(t *testing.T) {
	d, f := tossed(func(i int) float64 { return 5 - 10*float64(i%2) })
	half := d.sure(f)
	deviation := 1 / math.Sqrt(100*25+0.25) // of a slope; 0.25 says that one near 0 is likely
	assert.InDelta(t, 1.96*1.3*deviation+2/10., half[1], 1e-3)
	f.sigma = 3 // more than what is left
	deviation = 3 / math.Sqrt(100*25+9)
	assert.InDelta(t, 1.96*1.3*deviation+2/10., d.sure(f)[1], 1e-3)
}

// A stabiliser that drifts by 3 µs makes a slope unsure where each episode saw only one
// end of the channel: there are ten of them, not a hundred rows.
func TestAnIntervalWithADrift(t *testing.T) {
	d, f := tossed(func(i int) float64 { return 5 - 10*float64(i/10%2) })
	f.sigma, f.drift = 1, 3
	of := 10 * 9. / (1 + 10*9.) / 9 * 10 // weight of ten episodes: each errs by a drift of 9 µs², and by 1/10 for its rows
	deviation := math.Sqrt(of*25) / (of*25 + 1)
	assert.InDelta(t, 1.96*1.3*deviation+(2+3)/10., d.sure(f)[1], 0.01)

	d, f = tossed(func(i int) float64 { return 5 - 10*float64(i%2) })
	f.sigma, f.drift = 1, 3
	deviation = 1 / math.Sqrt(100*25+1)
	assert.InDelta(t, 1.96*1.3*deviation+(2+3)/10., d.sure(f)[1], 0.001, "both ends in each: the drift is no matter")
}

// Errors that are alike for long count as few.
func TestAnIntervalOfErrorsThatAreAlike(t *testing.T) {
	d, f := tossed(func(i int) float64 { return 5 - 10*float64(i/10%2) })
	for i := range d.y { // for five rows, then the other way
		d.y[i] = 1500 + d.row(i)[1] + float64(1-2*(i/5%2))
	}
	deviation := 1 / math.Sqrt(100*25+0.25)
	assert.Greater(t, d.sure(f)[1], 1.5*1.96*1.3*deviation+2/10.)
}
