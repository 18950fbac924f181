package drift

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// norris is the data set Norris of NIST's Statistical Reference Datasets: y, x.
var norris = [][2]float64{
	{0.1, 0.2}, {338.8, 337.4}, {118.1, 118.2}, {888.0, 884.6}, {9.2, 10.1}, {228.1, 226.5}, {668.5, 666.3}, {998.5, 996.3}, {449.1, 448.6},
	{778.9, 777.0}, {559.2, 558.2}, {0.3, 0.4}, {0.1, 0.6}, {778.1, 775.5}, {668.8, 666.9}, {339.3, 338.0}, {448.9, 447.5}, {10.8, 11.6},
	{557.7, 556.0}, {228.3, 228.1}, {998.0, 995.8}, {888.8, 887.6}, {119.6, 120.2}, {0.3, 0.3}, {0.6, 0.3}, {557.6, 556.8}, {339.3, 339.1},
	{888.0, 887.2}, {998.5, 999.0}, {778.9, 779.0}, {10.2, 11.1}, {117.6, 118.3}, {228.9, 229.2}, {668.4, 669.1}, {449.2, 448.9}, {0.2, 0.5},
}

// longley is that of the same collection with its name, in the order of its columns: y, x1 ... x6.
var longley = [][7]float64{
	{60323, 83, 234289, 2356, 1590, 107608, 1947}, {61122, 88.5, 259426, 2325, 1456, 108632, 1948},
	{60171, 88.2, 258054, 3682, 1616, 109773, 1949}, {61187, 89.5, 284599, 3351, 1650, 110929, 1950},
	{63221, 96.2, 328975, 2099, 3099, 112075, 1951}, {63639, 98.1, 346999, 1932, 3594, 113270, 1952},
	{64989, 99, 365385, 1870, 3547, 115094, 1953}, {63761, 100, 363112, 3578, 3350, 116219, 1954},
	{66019, 101.2, 397469, 2904, 3048, 117388, 1955}, {67857, 104.6, 419180, 2822, 2857, 118734, 1956},
	{68169, 108.4, 442769, 2936, 2798, 120445, 1957}, {66513, 110.8, 444546, 4681, 2637, 121950, 1958},
	{68655, 112.6, 482704, 3813, 2552, 123366, 1959}, {69564, 114.2, 502601, 3931, 2514, 125368, 1960},
	{69331, 115.7, 518173, 4806, 2572, 127852, 1961}, {70551, 116.9, 554894, 4007, 2827, 130081, 1962},
}

// PUB: certified by NIST. What is wrong in the data above would show in the figures.
func TestLeastSquaresOnNorris(t *testing.T) {
	var points []point
	for i, row := range norris {
		points = append(points, point{i, row[1], row[0]})
	}
	l := leastSquares(points)
	assert.InEpsilon(t, -0.262323073774, l.intercept, 1e-10)
	assert.InEpsilon(t, 1.00211681802, l.slope, 1e-11)
	assert.InEpsilon(t, 0.000429796848, l.error, 1e-8)
	var left float64
	for _, p := range points {
		left += math.Pow(p.height-l.intercept-l.slope*p.at, 2)
	}
	assert.InEpsilon(t, 0.884796396144, math.Sqrt(left/34), 1e-10)
}

// without is what a line through the points leaves of them.
func without(of, by []float64) []float64 {
	var points []point
	for i := range of {
		points = append(points, point{i, by[i], of[i]})
	}
	l := leastSquares(points)
	left := make([]float64, len(of))
	for i := range of {
		left[i] = of[i] - l.intercept - l.slope*by[i]
	}
	return left
}

// PUB: certified by NIST. The coefficient of one of several columns is the slope of the line on
// what the others leave of it (Frisch, Waugh, Lovell), so lines alone find it: the columns are
// as near to one another as any that are published.
func TestLeastSquaresOnLongley(t *testing.T) {
	columns := make([][]float64, 7)
	for _, row := range longley {
		for j, v := range row {
			columns[j] = append(columns[j], v)
		}
	}
	for j := 1; j <= 5; j++ {
		for _, k := range []int{0, 2, 3, 4, 5, 6} {
			if k == 0 || k > j {
				columns[k] = without(columns[k], columns[j])
			}
		}
	}
	var points []point
	for i, x := range columns[6] {
		points = append(points, point{i, x, columns[0][i]})
	}
	l := leastSquares(points)
	assert.InEpsilon(t, 1829.15146, l.slope, 1e-8)
	assert.InEpsilon(t, 455.478499, l.error*math.Sqrt(14.0/9), 1e-8, "nine degrees of freedom are left of sixteen")
}
