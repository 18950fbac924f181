package slope

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// norris is the data set Norris of the NIST Statistical Reference Datasets (linear regression,
// lower level of difficulty): y, x. Data and certified values are from memory; a digit that was
// remembered wrong would break the agreement of thirteen.
var norris = [][2]float64{
	{0.1, 0.2}, {338.8, 337.4}, {118.1, 118.2}, {888.0, 884.6}, {9.2, 10.1}, {228.1, 226.5}, {668.5, 666.3}, {998.5, 996.3}, {449.1, 448.6},
	{778.9, 777.0}, {559.2, 558.2}, {0.3, 0.4}, {0.1, 0.6}, {778.1, 775.5}, {668.8, 666.9}, {339.3, 338.0}, {448.9, 447.5}, {10.8, 11.6},
	{557.7, 556.0}, {228.3, 228.1}, {998.0, 995.8}, {888.8, 887.6}, {119.6, 120.2}, {0.3, 0.3}, {0.6, 0.3}, {557.6, 556.8}, {339.3, 339.1},
	{888.0, 887.2}, {998.5, 999.0}, {778.9, 779.0}, {10.2, 11.1}, {117.6, 118.3}, {228.9, 229.2}, {668.4, 669.1}, {449.2, 448.9}, {0.2, 0.5},
}

func TestNorris(t *testing.T) {
	points := make([]Point, 0, len(norris))
	for _, v := range norris {
		points = append(points, Point{X: v[1], Y: v[0]})
	}
	l, ok := Through(points)
	require.True(t, ok)
	for _, x := range []struct{ want, got float64 }{
		{1.00211681802045, l.Slope}, {-0.262323073774029, l.Intercept}, {0.429796848199937e-3, l.SlopeError},
		{0.232818234301152, l.InterceptError}, {0.884796396144373, l.Stray},
	} {
		assert.InEpsilon(t, x.want, x.got, 1e-12)
	}
	assert.Equal(t, 34, l.Freedom)
}

// mark is an answer of which all is known: slope, middle, step.
func mark(slope, middle, step float64, at ...float64) (points []Point) {
	for _, x := range at {
		side := 0
		if x != 0 {
			side = int(math.Copysign(1, x))
		}
		points = append(points, Point{X: x, Y: middle + slope*x - step*float64(side), Side: side})
	}
	return points
}

func TestBothSidesFindsWhatWasPutIn(t *testing.T) {
	for _, x := range []struct{ slope, middle, step float64 }{{4.6, 1500, 0}, {-2.5, 1510, -3}, {0.1, 1400, 1}, {5, 1500, 10}} {
		s, ok := BothSides(mark(x.slope, x.middle, x.step, 0, 6, 16, 26, 0, -5, -15, -27, 0))
		require.True(t, ok)
		assert.InDelta(t, x.slope, s.Slope, 1e-9)
		assert.InDelta(t, x.middle, s.Middle, 1e-9)
		assert.InDelta(t, x.step, s.Step, 1e-9)
		assert.InDelta(t, 0, s.Stray, 1e-9)
		assert.Equal(t, 3, s.Freedom)
	}
}

func TestTooFewPoints(t *testing.T) {
	for name, at := range map[string][]float64{
		"one side": {6, 16, 26}, "one on the other": {6, 16, 26, -5}, "twice one place": {6, 16, 26, -5, -5}, "none": nil,
	} {
		_, ok := BothSides(mark(1, 0, 0, at...))
		assert.False(t, ok, name)
	}
	_, ok := Through(mark(1, 0, 0, 1, 2))
	assert.False(t, ok)
	_, ok = Through(mark(1, 0, 0, 2, 2, 2))
	assert.False(t, ok)
	_, ok = BothSides(mark(1, 0, 0, 6, 16, -5, -15))
	assert.True(t, ok)
}

// An interval of 95 % holds the truth in 95 of 100 draws, less the error of 2000 of them.
func TestIntervalsHoldAsOftenAsTheySay(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	var slope, middle, step int
	const draws = 2000
	for range draws {
		points := mark(4.6, 1500, 2, 6, 16, 26, -6, -16, -26)
		for i := range points {
			points[i].Y += random.NormFloat64()
		}
		s, _ := BothSides(points)
		for _, x := range []struct {
			n         *int
			off, part float64
		}{{&slope, s.Slope - 4.6, s.SlopePart}, {&middle, s.Middle - 1500, s.MiddlePart}, {&step, s.Step - 2, s.StepPart}} {
			if math.Abs(x.off) <= s.Within(x.part, 0) {
				*x.n++
			}
		}
	}
	for _, n := range []int{slope, middle, step} {
		assert.InDelta(t, 0.95, float64(n)/draws, 0.02)
	}
}
