// Package drift finds how a resting width wanders over hours, with its doubt: the slope of a
// straight line. What is left of the line is like what was left before, so the doubt is that
// of least squares, widened by how alike neighbours are, on two time scales.
package drift

import (
	"math"

	"benchproof.example/monitor/fit/student"
	"benchproof.example/monitor/unit"
)

const hour = 60 * unit.Minute

const (
	// Least is the shortest time between begin and end that shows a drift.
	Least = 2 * hour
	// minSlots is the fewest slots that a line is laid through.
	minSlots = 24
	// coarse is how many slots make one of the coarser time scale.
	coarse = 5
	// sure is the quantile that an interval of 95 % takes on each side.
	sure = 0.975
	// mostAlike is how alike neighbours are at most taken to be.
	mostAlike = 0.98
)

// Mean is a slot of time: the sum of the widths that were measured in it, each less a width
// that is the same for all slots (a sum of whole widths would be a large one), and their
// number. Where that is zero, nothing was heard or the output did not rest.
type Mean struct {
	Sum unit.Width // ns
	N   int64
}

// Drift is how fast a width grows, and within what on either side the true one lies, 95 %
// sure, ns an hour. Within is rounded up.
type Drift struct {
	PerHour, Within unit.Width
}

// Refusal is why no drift is claimed.
type Refusal int

// Refusals.
const (
	None Refusal = iota
	TooShort
	TooSparse
)

// String is a clause for people, empty where a drift is claimed.
func (r Refusal) String() string {
	return [...]string{
		None:      "",
		TooShort:  "under two hours no drift can be told from noise",
		TooSparse: "too little of the time was measured at rest to tell one",
	}[r]
}

// Fit lays the line through slots, one after the other, each so long: a minute, or more for
// days. tick is the resolution of what measures, jitter the standard deviation of single
// widths: where it is under half a tick, means carry the error of rounding. 0: unknown.
func Fit(slots []Mean, slot unit.Duration, tick, jitter unit.Width) (Drift, Refusal) {
	fine := pointsOf(slots, slot)
	if len(fine) == 0 || unit.Duration(span(slots))*slot < Least {
		return Drift{}, TooShort
	}
	rough := pointsOf(joined(slots), coarse*slot)
	if len(fine) < minSlots || len(rough) < minSlots/coarse {
		return Drift{}, TooSparse
	}
	line := leastSquares(fine)
	within := max(line.halfWidth(), leastSquares(rough).halfWidth())
	if 2*jitter < tick {
		within += 1.5 * float64(tick) * float64(hour) / float64(unit.Duration(span(slots))*slot)
	}
	return Drift{unit.Width(math.Round(line.slope)), unit.Width(math.Ceil(within))}, None
}

// span is how many slots there are from the first that has a width to the last.
func span(slots []Mean) int {
	first, last := -1, -2
	for i, s := range slots {
		if s.N > 0 {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	return last - first + 1
}

// joined are slots of the coarser scale; the last may have fewer of the fine ones.
func joined(slots []Mean) []Mean {
	coarser := make([]Mean, (len(slots)+coarse-1)/coarse)
	for i, s := range slots {
		c := &coarser[i/coarse]
		c.Sum, c.N = c.Sum+s.Sum, c.N+s.N
	}
	return coarser
}

// point is a mean width and when, in hours.
type point struct {
	slot   int
	at     float64
	height float64 // ns
}

func pointsOf(slots []Mean, slot unit.Duration) (points []point) {
	for i, s := range slots {
		if s.N > 0 {
			at := float64(unit.Duration(i)*slot) / float64(hour)
			points = append(points, point{i, at, float64(s.Sum) / float64(s.N)})
		}
	}
	return points
}

// line is one laid through points by least squares.
type line struct {
	slope, intercept, error float64 // error: standard error of the slope, as if what is left were unlike
	alike                   float64 // correlation of what is left at neighbours
	points                  int
}

func leastSquares(points []point) *line {
	l := &line{points: len(points)}
	n := float64(l.points)
	var at, height, squares, products float64
	for _, p := range points {
		at, height = at+p.at/n, height+p.height/n
	}
	for _, p := range points {
		squares += float64((p.at - at) * (p.at - at))
		products += float64((p.at - at) * (p.height - height))
	}
	l.slope = products / squares
	l.intercept = height - float64(l.slope*at)
	var left, neighbours, before float64
	for i, p := range points {
		rest := p.height - l.intercept - float64(l.slope*p.at)
		left += float64(rest * rest)
		if i > 0 && p.slot == points[i-1].slot+1 {
			neighbours += float64(rest * before)
		}
		before = rest
	}
	if left > 0 {
		l.alike = neighbours / left
	}
	l.error = math.Sqrt(left / (n - 2) / squares)
	return l
}

// halfWidth is half the interval of the slope, 95 %: that of least squares through as many
// points as are worth it, wider by how much their likeness hides.
func (l *line) halfWidth() float64 {
	alike, worth := l.likeness()
	return float64(student.Quantile(sure, worth-2) * l.error * math.Sqrt((1+alike)/(1-alike)))
}

// likeness is the correlation of neighbours, less the bias of its estimate, and how many
// points that are unlike would tell as much.
func (l *line) likeness() (alike, worth float64) {
	n := float64(l.points)
	alike = min(max(0, l.alike+(2+float64(4*l.alike))/n), mostAlike)
	return alike, max(4, n*(1-alike)/(1+alike))
}
