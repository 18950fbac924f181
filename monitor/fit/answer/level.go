package answer

import (
	"math"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/slope"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

const (
	noAnswer = "no output answers surely"
)

// surely is how many half intervals a slope must be away from none for its way to be sure.
const surely = 2

// lines are those of all outputs that correct an axis, added up the way that each answers: so
// what an elevon does about the other axis falls out.
func (g *grouped) lines(s *sheet.Sheet) (sum slope.Sided, ways map[int]int, within float64) {
	ways = map[int]int{}
	for _, o := range s.Corrected(g.axis) {
		d := g.fitted(o.Number)
		switch {
		case d.Why != "" || unit.Abs(d.PerDegreeNS) <= surely*d.PerDegreeWithinNS:
		case d.PerDegreeNS > 0:
			ways[o.Number] = 1
		default:
			ways[o.Number] = -1
		}
	}
	if len(ways) == 0 {
		return sum, ways, 0
	}
	points, within := g.points(ways)
	sum, ok := slope.BothSides(points)
	if !ok {
		clear(ways)
	}
	return sum, ways, within
}

// level finds at which angle the outputs are those of the mode that does nothing.
//
//	outputs      |      /
//	             |     /
//	off  --------|----x------
//	             |   /|
//	             flying  level of the stabiliser
func (g *grouped) level(s *sheet.Sheet, off *sheet.Mode, rests []event.ModelRestedData) event.LevelMeasuredData {
	d := event.LevelMeasuredData{Mode: g.mode, Off: off.Name, Axis: g.axis, Why: g.why}
	lines, ways, within := g.lines(s)
	if d.Why == "" && len(ways) == 0 {
		d.Why = noAnswer
	}
	at, ok := restOf(rests, off.Name, "", 0, ways)
	if d.Why == "" && !ok {
		d.Why = "where outputs rest in " + off.Name + " was not seen"
	}
	if d.Why != "" {
		return d
	}
	dead, doubt := deadBand(&lines, within)
	if dead > doubt {
		d.DeadMDeg = int64(math.Round(dead))
	}
	d.LevelMDeg = int64(math.Round(milli * (at - lines.Middle) / lines.Slope))
	shared := within // by all angles alike, those of the attitude for flying too
	if by := g.by(); by == event.RestFelt {
		d.By, d.BiasWithinMDeg = by, g.biasWithin()
		if d.BiasWithinMDeg > 0 {
			shared = float64(d.BiasWithinMDeg) / milli
		}
	}
	d.WithinMDeg = int64(math.Ceil(milli*(lines.Within(lines.MiddlePart, readings(&lines, within))/lines.Slope+shared))) + d.DeadMDeg/2
	return d
}

// biasWithin is what is left of the bias of a phone that felt all angles, millidegrees; 0 where it is not known of one.
func (g *grouped) biasWithin() (within int64) {
	for i := range g.rests {
		switch r := &g.rests[i]; {
		case r.Side == 0:
		case r.BiasWithinMDeg == 0:
			return 0
		default:
			within = max(within, r.BiasWithinMDeg)
		}
	}
	return within
}

// restOf is where outputs rested in the latest rest in a mode, about an axis and to a side, ns; false
// where that was not seen.
func restOf(rests []event.ModelRestedData, mode, axis string, side int, ways map[int]int) (at float64, ok bool) {
	for i := range rests {
		r := &rests[i]
		if r.Asked != mode || r.Axis != axis || r.Side != side || r.Why != "" {
			continue
		}
		if w, rested := together(r, ways); rested {
			at, ok = float64(w), true
		}
	}
	return at, ok
}
