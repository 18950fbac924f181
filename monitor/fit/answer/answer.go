// Package answer finds figures of a stabiliser out of rests at known angles: how far outputs go for
// each degree, the dead band, the level, and what is held that was entered while tilted.
// Figures are fitted, and rounded once.
package answer

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// Why no line is laid.
const (
	tooFewAngles = "fewer than two angles to either side, at which outputs rested"
	stickMoved   = "a stick, or a trim, moved meanwhile"
)

// GainMoved is said of rests while which the gain was changed.
const GainMoved = "the gain was changed meanwhile"

// StrayLeast is how far a stick, or the gain, moves that is not touched, ns: noise of a gimbal stays within it.
const StrayLeast = 8_000

// swayLeast is how far an output goes to and fro that does not rest, ns.
const swayLeast = 15_000

// Figures reports what the rests of a drill give once the last of a mode and axis is there, which is
// the latest of them.
func Figures(s *sheet.Sheet, rests []event.ModelRestedData, report func(kind, about string, data any)) {
	last := &rests[len(rests)-1]
	if last.GainAt != 0 {
		report(event.GainMeasured, event.AboutStabiliser, gainSeries(s, last, rests))
		return
	}
	g := group(s, last.Asked, last.Axis, rests)
	if last.Side != 0 {
		report(event.EntryMeasured, event.AboutStabiliser, g.entered(s, last, rests))
		return
	}
	for _, o := range s.Corrected(last.Axis) {
		report(event.AnswerFitted, event.AboutOutput.Numbered(o.Number), g.fitted(o.Number))
	}
	if off := s.Off(); off != nil && g.stays && last.Axis != sheet.Yaw && s.Measures(sheet.MeasureLevel) {
		report(event.LevelMeasured, event.AboutStabiliser, g.level(s, off, rests))
	}
}

// grouped are the rests of one mode and axis.
type grouped struct {
	mode, axis string
	stays      bool // outputs are to stay where a tilt moves them
	rests      []event.ModelRestedData
	why        string // why nothing follows from them
}

func group(s *sheet.Sheet, mode, axis string, rests []event.ModelRestedData) *grouped {
	g := &grouped{mode: mode, axis: axis}
	for i := range s.Stabiliser.Modes {
		m := &s.Stabiliser.Modes[i]
		g.stays = g.stays || m.Name == mode && m.Does == sheet.DoesStay
	}
	for _, d := range rests {
		if d.Asked == mode && d.Axis == axis && (!d.Last || d.Side == 0) {
			g.rests = append(g.rests, d)
		}
	}
	g.why = doubt(g.rests)
	return g
}

// doubt says why nothing follows from rests, "" where something may.
func doubt(rests []event.ModelRestedData) string {
	for i := range rests {
		d, first := &rests[i], &rests[0]
		switch {
		case d.Why != "":
			return d.Why
		case unit.Abs(d.GainNS-first.GainNS) > StrayLeast:
			return GainMoved
		case len(d.Sticks) != len(first.Sticks):
			return stickMoved
		}
		for k, w := range d.Sticks {
			if unit.Abs(w-first.Sticks[k]) > StrayLeast {
				return stickMoved
			}
		}
	}
	return ""
}

// stood is where an output stood in a rest, false where it was silent or did not rest.
func stood(d *event.ModelRestedData, output int) (unit.Width, bool) {
	i := slices.IndexFunc(d.Outputs, func(o event.OutputRest) bool { return o.Output == output })
	if i < 0 || d.Outputs[i].MeanNS == 0 || d.Outputs[i].SwayNS >= swayLeast {
		return 0, false
	}
	return d.Outputs[i].MeanNS, true
}
