package slope

import "math"

// Sided is a pair of lines of one slope, to either side of a dead band:
//
//	     y               ___/      y = Middle + Slope x - Step side
//	     |          ____/
//	     |     ____|               the dead band is 2 Step / Slope wide
//	-----+----/----+----------- x
//
// Points in the middle are left out, since inside the band they tell nothing of the slope.
type Sided struct {
	Slope, Middle, Step float64
	Stray               float64 // standard deviation of what is left
	Freedom             int     // degrees of freedom

	SlopePart, MiddlePart, StepPart float64 // standard errors, as parts of the stray of single points
}

// BothSides lays the lines through points of which at least two lie to either side, at
// different places; false where they don't.
func BothSides(points []Point) (Sided, bool) {
	var low, high []Point
	for _, p := range points {
		switch {
		case p.Side < 0:
			low = append(low, p)
		case p.Side > 0:
			high = append(high, p)
		}
	}
	l, h := meanOf(low), meanOf(high)
	if len(low) < 2 || len(high) < 2 || l.squares == 0 || h.squares == 0 {
		return Sided{}, false
	}
	squares := l.squares + h.squares
	s := Sided{Slope: (l.products + h.products) / squares, Freedom: len(low) + len(high) - 3}
	below, above := l.y-float64(s.Slope*l.x), h.y-float64(s.Slope*h.x)
	s.Middle, s.Step = (below+above)/2, (below-above)/2
	left := s.left(low, l) + s.left(high, h)
	s.Stray = math.Sqrt(left / float64(s.Freedom))
	means := 1/l.n + 1/h.n
	apart, sum := h.x-l.x, h.x+l.x
	s.SlopePart = 1 / math.Sqrt(squares)
	s.StepPart = math.Sqrt(means+float64(apart*apart)/squares) / 2
	s.MiddlePart = math.Sqrt(means+float64(sum*sum)/squares) / 2
	return s, true
}

// Within is half the interval of 95 % of a figure with this part: by what is left of the lines, and
// no less than where single points are known to stray by as much.
func (s *Sided) Within(part, known float64) float64 {
	return max(Within(part*s.Stray, s.Freedom), normal*part*known)
}

// normal is how many standard errors an interval of 95 % has to either side, where the stray is known.
const normal = 1.96

// left is the sum of squares of what is left of the points of one side.
func (s *Sided) left(points []Point, m moments) (sum float64) {
	for _, p := range points {
		rest := p.Y - m.y - float64(s.Slope*(p.X-m.x))
		sum += float64(rest * rest)
	}
	return sum
}
