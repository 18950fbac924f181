package answer

import (
	"math"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// sharePart is how near an answer must be to what is expected, or to none, as a part of it: what
// lies between can't be told.
const sharePart = 0.35

// expectedLeast is the answer that shows what is held, ns: an answer whose direction can't be jitter.
const expectedLeast = 15_000

// entered tells what a mode holds that was entered while the model was tilted.
//
//	off      _______                 at the same angle
//	attitude        |~~~~~~~~ answers at once, as the lines have it
//	course          |________ starts from rest, and may creep
func (g *grouped) entered(s *sheet.Sheet, last *event.ModelRestedData, rests []event.ModelRestedData) event.EntryMeasuredData {
	d := event.EntryMeasuredData{Mode: g.mode, Axis: g.axis, AngleMDeg: last.AngleMDeg, Why: g.why}
	lines, ways, _ := g.lines(s)
	off, known := restOf(rests, s.Off().Name, g.axis, 1, ways)
	now, rested := together(last, ways)
	switch {
	case d.Why != "":
	case last.Why != "":
		d.Why = last.Why
	case len(ways) == 0:
		d.Why = noAnswer
	case !known || !rested:
		d.Why = "outputs did not rest before and behind the switch"
	}
	if d.Why != "" {
		return d
	}
	seen := float64(now) - off
	expected := lines.Middle + float64(lines.Slope*float64(last.AngleMDeg)/milli) - lines.Step - off
	d.SeenNS, d.ExpectedNS = round(seen), round(expected)
	switch near := float64(sharePart * math.Abs(expected)); {
	case math.Abs(expected) < expectedLeast:
	case math.Abs(seen-expected) <= near:
		d.Holds = event.HoldsAttitude
	case math.Abs(seen) <= near:
		d.Holds = event.HoldsCourse
	}
	return d
}
