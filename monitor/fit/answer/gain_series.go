package answer

import (
	"cmp"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/slope"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Why no law is told.
const (
	tooFewPlaces = "fewer than four places of the knob have figures"
	tooUnsure    = "the figures are too unsure: read the angles more closely, and prop the model up so that it rests"
)

const (
	lawPlaces = 4 // that a law rests on at least
	// likePart is how far a place may be off a law for all that, as a part of the largest answer: no receiver's law is
	// straight to the last digit (an assumption of ours).
	likePart = 20
	// alikePart is how far places may be apart that are alike, as such a part.
	alikePart = 100
	// unsurePart is how unsure a place may be, as such a part.
	unsurePart = 4
)

// gainSeries lays the lines at each place of the gain knob, for all outputs that correct the axis, added up the way
// that each answers, and finds how these follow the knob.
func gainSeries(s *sheet.Sheet, last *event.ModelRestedData, rests []event.ModelRestedData) event.GainMeasuredData {
	d := event.GainMeasuredData{Mode: last.Asked, Axis: last.Axis, Channel: s.Gain.Channel, By: event.RestCounted, Places: []event.GainPlace{}, Outputs: []int{}}
	places := byGain(s, last, rests)
	ways := gainWays(s, places)
	for _, o := range s.Corrected(last.Axis) {
		if ways[o.Number] != 0 {
			d.Outputs = append(d.Outputs, o.Number)
		}
	}
	for _, g := range places {
		d.Places = append(d.Places, g.gainPlace(s, ways))
		if by := g.by(); by != event.RestCounted && d.By != event.RestTyped {
			d.By = by
		}
	}
	if len(ways) == 0 {
		d.Why = noAnswer
		return d
	}
	gainLaw(&d)
	return d
}

// byGain are the rests by place of the knob.
func byGain(s *sheet.Sheet, last *event.ModelRestedData, rests []event.ModelRestedData) (list []*grouped) {
	for at := 1; at <= last.GainAt; at++ {
		there := slices.DeleteFunc(slices.Clone(rests), func(r event.ModelRestedData) bool { return r.GainAt != at })
		if len(there) > 0 {
			list = append(list, group(s, last.Asked, last.Axis, there))
		}
	}
	return list
}

// gainWays are the ways in which outputs answer, 1 or -1, each by the place at which it answers most; without those
// that answer surely at none.
func gainWays(s *sheet.Sheet, places []*grouped) map[int]int {
	ways := map[int]int{}
	for _, o := range s.Corrected(places[0].axis) {
		var most unit.Width
		for _, g := range places {
			if f := g.fitted(o.Number); f.Why == "" && unit.Abs(f.PerDegreeNS) > max(surely*f.PerDegreeWithinNS, unit.Abs(most)) && f.FarNS >= expectedLeast {
				most = f.PerDegreeNS
			}
		}
		if most != 0 {
			ways[o.Number] = int(unit.Abs(most) / most)
		}
	}
	return ways
}

// gainPlace has the figures of one place.
func (g *grouped) gainPlace(s *sheet.Sheet, ways map[int]int) event.GainPlace {
	first := &g.rests[0]
	p := event.GainPlace{GainNS: first.GainNS, SharePPM: s.Gain.Share(first.GainNS), Why: g.why}
	if p.Why != "" || len(ways) == 0 {
		return p
	}
	points, within := g.points(ways)
	lines, ok := slope.BothSides(points)
	if !ok {
		p.Why = tooFewAngles
		return p
	}
	p.Rests = int64(len(points))
	p.PerDegreeNS, p.PerDegreeWithinNS = round(lines.Slope), up(lines.Within(lines.SlopePart, readings(&lines, within)))
	return p
}

// law is what places with figures are held to.
type law struct {
	points []slope.Point     // X the share of full gain, Y the answer, by share
	within []float64         // of each
	places []event.GainPlace // the same
	most   float64
}

// gainLaw finds how the answers follow the knob.
//
//	straight   flat below   flat above   constant   turns
//	    /          /          __         _____         /\
//	   /       ___/          /                        /  \
func gainLaw(d *event.GainMeasuredData) {
	l := law{}
	for _, p := range d.Places {
		if p.Why == "" {
			l.places = append(l.places, p)
		}
	}
	if len(l.places) < lawPlaces {
		d.Why = tooFewPlaces
		return
	}
	slices.SortStableFunc(l.places, func(a, b event.GainPlace) int { return cmp.Compare(a.SharePPM, b.SharePPM) })
	for _, p := range l.places {
		l.points = append(l.points, slope.Point{X: float64(p.SharePPM), Y: float64(p.PerDegreeNS)})
		l.within = append(l.within, float64(p.PerDegreeWithinNS))
		l.most = max(l.most, float64(unit.Abs(p.PerDegreeNS)))
	}
	if slices.Max(l.within) > l.most/unsurePart {
		d.Why = tooUnsure
		return
	}
	if d.Law, d.AtNS = l.found(); d.Law == event.GainUnknown {
		d.Why = tooUnsure
	}
}

// found is the plainest law that all places agree with.
func (l *law) found() (event.GainLaw, unit.Width) {
	n := len(l.points)
	if l.alike(0, n) {
		return event.GainConstant, 0
	}
	if rises, ok := l.straight(0, n); ok {
		if rises {
			return event.GainStraight, 0
		}
		return event.GainReversed, 0
	}
	for flat := n - 1; flat >= 2; flat-- { // the bend lies anywhere between two places: one of them is enough for a line
		others := max(n-flat, 2)
		if rises, ok := l.straight(n-others, n); ok && rises && l.alike(0, flat) {
			return event.GainFlatBelow, l.places[flat-1].GainNS
		}
		if rises, ok := l.straight(0, others); ok && rises && l.alike(n-flat, n) {
			return event.GainFlatAbove, l.places[n-flat].GainNS
		}
	}
	return l.unstraight(), 0
}

// near is how far a place may be from a line.
func (l *law) near(i int) float64 { return l.within[i] + l.most/likePart }

// alike reports that the places from one to before another have one answer.
func (l *law) alike(from, to int) bool {
	var sum float64
	for _, p := range l.points[from:to] {
		sum += p.Y
	}
	mean := sum / float64(to-from)
	for i := from; i < to; i++ {
		if off := l.points[i].Y - mean; max(off, -off) > l.within[i]+l.most/alikePart {
			return false
		}
	}
	return true
}

// straight reports that the places from one to before another lie on a line, and whether that rises.
func (l *law) straight(from, to int) (rises, ok bool) {
	some := l.points[from:to]
	if len(some) == 2 {
		return some[1].Y > some[0].Y, some[1].X > some[0].X
	}
	line, ok := slope.Through(some)
	if !ok {
		return false, false
	}
	for i := from; i < to; i++ {
		if off := l.points[i].Y - line.Intercept - float64(line.Slope*l.points[i].X); max(off, -off) > l.near(i) {
			return false, false
		}
	}
	return line.Slope > 0, true
}

// unstraight is for answers that lie on no line: they only grow, only shrink, or turn.
func (l *law) unstraight() event.GainLaw {
	grows, shrinks := false, false
	for i := 1; i < len(l.points); i++ {
		by, surely := l.points[i].Y-l.points[i-1].Y, l.near(i)+l.near(i-1)
		grows, shrinks = grows || by > surely, shrinks || by < -surely
	}
	switch {
	case grows && !shrinks:
		return event.GainRising
	case shrinks && !grows:
		return event.GainReversed
	case grows:
		return event.GainTurns
	}
	return event.GainUnknown
}
