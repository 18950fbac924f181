package answer

import (
	"math"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/slope"
	"benchproof.example/monitor/unit"
)

const milli = 1000.0

// fitted lays the lines of an output.
func (g *grouped) fitted(output int) event.AnswerFittedData {
	d := event.AnswerFittedData{Mode: g.mode, Axis: g.axis, Why: g.why, By: event.RestCounted}
	points, doubtDegrees := g.points(map[int]int{output: 1})
	if d.Why == "" {
		g.lay(&d, points, doubtDegrees)
	}
	if d.Why != "" {
		return d
	}
	d.Rests = int64(len(points))
	g.extremes(&d, output)
	return d
}

// points are where outputs rested, added up the way that each answers; and what the angles are
// good for, degrees. A rest in which one of them did not rest is left out.
func (g *grouped) points(ways map[int]int) (points []slope.Point, within float64) {
	for i := range g.rests {
		d := &g.rests[i]
		y, ok := together(d, ways)
		if !ok {
			continue
		}
		points = append(points, slope.Point{X: float64(d.AngleMDeg) / milli, Y: float64(y), Side: d.Side})
		within = max(within, float64(d.DoubtMDeg)/milli)
	}
	return points, within
}

// together adds up where outputs stood in a rest, each the way that it answers, ns.
func together(d *event.ModelRestedData, ways map[int]int) (sum unit.Width, ok bool) {
	for output, way := range ways {
		w, rested := stood(d, output)
		if !rested {
			return 0, false
		}
		sum += w * unit.Width(way)
	}
	return sum, true
}

// lay lays the lines: to either side of a dead band where answers stay, else one through all.
func (g *grouped) lay(d *event.AnswerFittedData, points []slope.Point, doubtDegrees float64) {
	s, ok := slope.BothSides(points)
	if !ok {
		d.Why = tooFewAngles
		return
	}
	if !g.stays {
		l, _ := slope.Through(points)
		d.PerDegreeNS, d.PerDegreeWithinNS = round(l.Slope), up(slope.Within(l.SlopeError, l.Freedom))
		d.AtLevelNS, d.AtLevelWithinNS = round(l.Intercept), up(slope.Within(l.InterceptError, l.Freedom))
		return
	}
	read := readings(&s, doubtDegrees)
	d.PerDegreeNS, d.PerDegreeWithinNS = round(s.Slope), up(s.Within(s.SlopePart, read))
	d.AtLevelNS, d.AtLevelWithinNS = round(s.Middle), up(s.Within(s.MiddlePart, read))
	dead, within := deadBand(&s, doubtDegrees)
	d.DeadWithinMDeg = int64(math.Ceil(within))
	if dead > within {
		d.DeadMDeg = int64(math.Round(dead))
	}
}

// readings is how far points stray by the readings of the angles, which lie anywhere within their doubt, ns.
func readings(s *slope.Sided, doubtDegrees float64) float64 {
	return math.Abs(s.Slope) * doubtDegrees / math.Sqrt(3)
}

// deadBand is the width of the dead band with half its interval, millidegrees; nothing where nothing
// answers.
func deadBand(s *slope.Sided, doubtDegrees float64) (dead, within float64) {
	if math.Abs(s.Slope) < 1 {
		return 0, 0
	}
	return 2 * milli * s.Step / s.Slope, 2 * milli * s.Within(s.StepPart, readings(s, doubtDegrees)) / math.Abs(s.Slope)
}

// extremes puts in how far an output went, and what it did at level.
func (g *grouped) extremes(d *event.AnswerFittedData, output int) {
	var level []unit.Width
	for i := range g.rests {
		if w, ok := stood(&g.rests[i], output); ok && g.rests[i].Side == 0 {
			level = append(level, w)
		}
	}
	if len(level) > 0 {
		d.CreepNS = level[len(level)-1] - level[0]
	}
	d.By = g.by()
	for i := range g.rests {
		rest := &g.rests[i]
		if rest.Side == 0 {
			continue
		}
		d.FromMDeg, d.ToMDeg = min(d.FromMDeg, rest.AngleMDeg), max(d.ToMDeg, rest.AngleMDeg)
		for _, o := range rest.Outputs {
			if o.Output != output {
				continue
			}
			d.KickNS = max(d.KickNS, o.KickNS)
			if len(level) > 0 && o.MeanNS != 0 {
				d.FarNS = max(d.FarNS, unit.Abs(o.MeanNS-level[0]))
			}
		}
	}
	g.answered(d, output)
}

// by is how the angles are known: felt where all of them are, else of some nobody knows but who typed them.
func (g *grouped) by() event.RestBy {
	by := event.RestCounted
	for i := range g.rests {
		switch r := &g.rests[i]; {
		case r.Side == 0:
		case by == event.RestCounted:
			by = r.By
		case by != r.By:
			return event.RestTyped
		}
	}
	return by
}

// answered puts in within what time of a tilt an output had begun to answer at best, and how fine that is known.
func (g *grouped) answered(d *event.AnswerFittedData, output int) {
	for i := range g.rests {
		d.FineNS = max(d.FineNS, g.rests[i].FineNS)
		for _, o := range g.rests[i].Outputs {
			if o.Output == output && o.AnsweredNS > 0 && (d.AnsweredNS == 0 || o.AnsweredNS < d.AnsweredNS) {
				d.AnsweredNS = o.AnsweredNS
			}
		}
	}
}

func round(w float64) unit.Width { return unit.Width(math.Round(w)) }

func up(w float64) unit.Width { return unit.Width(math.Ceil(w)) }
