// Package slope lays straight lines through a few points: one line, or two of the same slope
// to either side of a dead band. Each figure comes with its doubt.
package slope

import (
	"math"

	"benchproof.example/monitor/fit/student"
)

// Point is what was measured at a place. Side is to which side of the middle the place lies,
// -1 or 1; 0 in the middle.
type Point struct {
	X, Y float64
	Side int
}

// Line is one laid through points by least squares: y = Intercept + Slope x.
type Line struct {
	Slope, Intercept           float64
	SlopeError, InterceptError float64 // standard errors
	Stray                      float64 // standard deviation of what is left
	Freedom                    int     // degrees of freedom
}

// Through lays a line through points; false where they are too few, or stand all at one place.
func Through(points []Point) (Line, bool) {
	m := meanOf(points)
	if len(points) < 3 || m.squares == 0 {
		return Line{}, false
	}
	l := Line{Slope: m.products / m.squares, Freedom: len(points) - 2}
	l.Intercept = m.y - float64(l.Slope*m.x)
	var left float64
	for _, p := range points {
		rest := p.Y - m.y - float64(l.Slope*(p.X-m.x))
		left += float64(rest * rest)
	}
	l.Stray = math.Sqrt(left / float64(l.Freedom))
	l.SlopeError = l.Stray / math.Sqrt(m.squares)
	l.InterceptError = float64(l.Stray * math.Sqrt(1/m.n+float64(m.x*m.x)/m.squares))
	return l, true
}

// Within is half the interval of 95 % of a figure that has this standard error.
func Within(standardError float64, freedom int) float64 {
	return float64(student.Quantile(0.975, float64(freedom)) * standardError)
}

// moments are those of points about their mean.
type moments struct {
	n, x, y           float64
	squares, products float64
}

func meanOf(points []Point) (m moments) {
	m.n = float64(len(points))
	for _, p := range points {
		m.x += p.X / m.n
		m.y += p.Y / m.n
	}
	for _, p := range points {
		m.squares += float64((p.X - m.x) * (p.X - m.x))
		m.products += float64((p.X - m.x) * (p.Y - m.y))
	}
	return m
}
