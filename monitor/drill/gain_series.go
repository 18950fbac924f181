package drill

import (
	"cmp"
	"fmt"
	"slices"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// GainSeries is the name of the drill that gainSeriesPlan makes.
const GainSeries = "gain-series"

const (
	gainPlaces = 5 // of the knob: its ends, and three between
	// gainNear is how near to a place between its ends the knob is to stand, as a part of its turn: where
	// it really stands is on the wire.
	gainNear = 16
	// untouchedTime is how long the model lies level at each place, untouched: to lay it down, and as long as it takes to
	// see a slow swing of an output.
	untouchedTime = 20 * unit.Second
)

const (
	dialText = "turn %s to about %s, and leave it there"
	untouch  = "lay the model back into the attitude for flying: the inclinometer reads zero; then touch nothing, neither the model nor the knob: whether an " +
		"output swings by itself is looked at until the next prompt comes"

	answersHard = "At much gain surfaces answer hard and may swing: linkages run free, hands and eyes are clear of them, and where one hums or " +
		"hunts, the knob is turned back at once."
	gainThen = "Turn the gain knob back to where it stood before the drill."
)

// gainSeriesPlan has the model rest at angles with the gain knob at several places: how the answers follow the knob. Its
// prompts are "gain-series/set", then at each place N "gain-series/N/turn", ".../level", ".../there/M", ".../other/M", and
// at the end "gain-series/end". Switches on the way have prompts as in other drills.
func gainSeriesPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     GainSeries,
		Purpose:  "the model rests at angles with the gain knob at several places: how the answers follow the knob, and whether an output swings",
		Cautions: append(inTheAir(), onAStand, propped, answersHard),
		Leads:    true,
		Tilts:    true,
	}
	if s.HasPhone() {
		p.Cautions = append(p.Cautions, phoneHolds)
	}
	axis, knob, mode := GainSeriesAxis(s), s.GainKnob(), s.Answering()
	if !s.HasLeads() || !s.Measures(sheet.MeasureGain) || axis == "" || knob == nil || mode == nil {
		return p
	}
	p.Prompts = newSwitchPath(s).prompts(GainSeries+"/set", mode.WantedAt[0], Ask{Act: ActPut, Mode: mode.Name})
	lay := Ask{Act: ActDeclare, Mode: mode.Name, Axis: axis}
	for i, width := range gainTurn(s, knob) {
		lay.GainAt = i + 1
		p.Prompts = append(p.Prompts, gainPlace(s, knob, width, lay)...)
	}
	lay.Last = true
	p.Prompts = append(p.Prompts, timed(GainSeries+"/end", layDown, lay, layTime))
	p.Then = gainThen
	return p
}

// GainSeriesAxis is the axis about which a gain series tilts the model: the first of which an angle at rest is answered;
// "" where there is none.
func GainSeriesAxis(s *sheet.Sheet) string {
	if axes := judged(s); len(axes) > 0 && axes[0] != sheet.Yaw {
		return axes[0]
	}
	return ""
}

// gainTurn are the places at which the knob is measured, from the end with less gain to the other.
func gainTurn(s *sheet.Sheet, knob *sheet.Channel) (widths []unit.Width) {
	ends := slices.Clone(knob.Places)
	slices.SortStableFunc(ends, func(a, b sheet.Place) int {
		return cmp.Or(cmp.Compare(s.Gain.Share(a.Width), s.Gain.Share(b.Width)), cmp.Compare(a.Width, b.Width))
	})
	for i := range unit.Width(gainPlaces) {
		widths = append(widths, ends[0].Width+(ends[1].Width-ends[0].Width)*i/(gainPlaces-1))
	}
	return widths
}

// gainPlace are the prompts of one place of the knob.
func gainPlace(s *sheet.Sheet, knob *sheet.Channel, width unit.Width, lay Ask) []Prompt {
	id := fmt.Sprintf("%s/%d/", GainSeries, lay.GainAt)
	list := []Prompt{turnGain(s, knob, id+"turn", width), timed(id+"level", untouch, lay, untouchedTime)}
	way := rests[lay.Axis]
	for _, side := range []struct {
		name, how string
		side      int
	}{{"there", way.there, 1}, {"other", way.other, -1}} {
		for i, degrees := range steps {
			ask := lay
			ask.Act, ask.Side, ask.At = ActRead, side.side, i+1
			list = append(list, readAngle(s, fmt.Sprintf("%s%s/%d", id, side.name, i+1), side.how, degrees, ask))
		}
	}
	return list
}

// turnGain has the knob turned to an end, or to about a width between.
func turnGain(s *sheet.Sheet, knob *sheet.Channel, id string, width unit.Width) Prompt {
	for _, end := range knob.Places {
		if end.Width == width {
			return Prompt{ID: id, Text: putText(knob, end.Name), Asks: Ask{Act: ActTurn, Channel: knob.Number, Place: end.Name},
				Until: Condition{Targets: []Target{{knob.Number, width, s.Tolerance.Position}}}}
		}
	}
	near := unit.Abs(knob.Places[1].Width-knob.Places[0].Width) / gainNear
	about := unit.FormatWidth((width + 500) / 1000 * 1000)
	return Prompt{ID: id, Text: fmt.Sprintf(dialText, knob.Name, about), Asks: Ask{Act: ActDial, Channel: knob.Number, Place: about},
		Until: Condition{Targets: []Target{{knob.Number, width, near}}}}
}
