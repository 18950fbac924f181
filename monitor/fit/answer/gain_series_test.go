package answer

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

// placesOf are places at shares of full gain in thousandths, with answers in ns a degree and one doubt.
func placesOf(within unit.Width, answers map[int64]unit.Width) (list []event.GainPlace) {
	for share, answer := range answers {
		list = append(list, event.GainPlace{GainNS: unit.Width(1_500_000 + share*512), SharePPM: share * 1000, PerDegreeNS: answer, PerDegreeWithinNS: within})
	}
	return list
}

func TestTheLawOfTheKnob(t *testing.T) {
	for name, x := range map[string]struct {
		within  unit.Width
		answers map[int64]unit.Width
		law     event.GainLaw
		at      unit.Width
		why     string
	}{
		"straight":                {50, map[int64]unit.Width{0: 0, 250: 1000, 500: 2000, 750: 3000, 1000: 4000}, event.GainStraight, 0, ""},
		"straight, not from none": {50, map[int64]unit.Width{0: 1000, 250: 1750, 500: 2500, 750: 3250, 1000: 4000}, event.GainStraight, 0, ""},
		"straight, nearly":        {50, map[int64]unit.Width{0: 0, 250: 1000, 500: 2200, 750: 3000, 1000: 4000}, event.GainStraight, 0, ""},
		"no longer":               {50, map[int64]unit.Width{0: 0, 250: 1000, 500: 2400, 750: 3000, 1000: 4000}, event.GainRising, 0, ""},
		"reversed":                {50, map[int64]unit.Width{0: 4000, 250: 3000, 500: 2000, 750: 1000, 1000: 0}, event.GainReversed, 0, ""},
		"reversed, and bent":      {50, map[int64]unit.Width{0: 4000, 250: 1500, 500: 600, 750: 200, 1000: 0}, event.GainReversed, 0, ""},
		"constant":                {50, map[int64]unit.Width{0: 3970, 250: 4050, 500: 4000, 750: 3960, 1000: 4000}, event.GainConstant, 0, ""},
		"dead at first":           {50, map[int64]unit.Width{0: 0, 250: 0, 500: 1333, 750: 2667, 1000: 4000}, event.GainFlatBelow, 1_628_000, ""},
		"dead between places":     {50, map[int64]unit.Width{0: 0, 250: 0, 500: 800, 750: 2400, 1000: 4000}, event.GainFlatBelow, 1_628_000, ""},
		"dead for long":           {50, map[int64]unit.Width{0: 0, 250: 0, 500: 0, 750: 0, 1000: 4000}, event.GainFlatBelow, 1_884_000, ""},
		"full early":              {50, map[int64]unit.Width{0: 0, 250: 2000, 500: 4000, 750: 4000, 1000: 4000}, event.GainFlatAbove, 1_756_000, ""},
		"curved":                  {50, map[int64]unit.Width{0: 0, 250: 250, 500: 1000, 750: 2250, 1000: 4000}, event.GainRising, 0, ""},
		"there and back":          {50, map[int64]unit.Width{0: 0, 250: 2000, 500: 4000, 750: 2000, 1000: 0}, event.GainTurns, 0, ""},
		"dead, then wild":         {50, map[int64]unit.Width{0: 0, 250: 0, 500: 2000, 750: 500, 1000: 4000}, event.GainTurns, 0, ""},
		"four are enough":         {50, map[int64]unit.Width{0: 0, 250: 1000, 500: 2000, 1000: 4000}, event.GainStraight, 0, ""},
		"three are not":           {50, map[int64]unit.Width{0: 0, 500: 2000, 1000: 4000}, event.GainUnknown, 0, tooFewPlaces},
		"sure enough":             {1000, map[int64]unit.Width{0: 0, 250: 1000, 500: 2000, 750: 3000, 1000: 4000}, event.GainStraight, 0, ""},
		"unsure":                  {1001, map[int64]unit.Width{0: 0, 250: 1000, 500: 2000, 750: 3000, 1000: 4000}, event.GainUnknown, 0, tooUnsure},
		"neither more nor less":   {500, map[int64]unit.Width{0: 4000, 250: 2600, 500: 4000, 750: 2600, 1000: 4000}, event.GainUnknown, 0, tooUnsure},
	} {
		t.Run(name, func(t *testing.T) {
			d := event.GainMeasuredData{Places: placesOf(x.within, x.answers)}
			gainLaw(&d)
			assert.Equal(t, x.law, d.Law)
			assert.Equal(t, x.at, d.AtNS)
			assert.Equal(t, x.why, d.Why)
		})
	}
}

// rested are the rests of a series of an elevon: of each place the level, and six angles.
func rested(t *testing.T, perDegree func(place int) (one, two float64)) (*sheet.Sheet, []event.ModelRestedData) {
	text := strings.NewReplacer("corrects: [roll] ", "corrects: [roll, pitch] ").Replace(string(sheettest.TwoSwitches()))
	s, err := sheet.Read("elevon", []byte(text))
	require.NoError(t, err)
	outputs := s.Corrected(sheet.Pitch)
	require.Len(t, outputs, 2)
	var list []event.ModelRestedData
	for place := 1; place <= 5; place++ {
		one, two := perDegree(place)
		for _, degrees := range []int64{0, 6, 16, 26, -6, -16, -26} {
			side := min(1, max(-1, int(degrees)))
			at := func(slope float64) unit.Width { return 1_500_000 + unit.Width(slope*1000*float64(degrees)) }
			list = append(list, event.ModelRestedData{
				Rest:  event.Rest{Axis: sheet.Pitch, AngleMDeg: 1000 * degrees, DoubtMDeg: 200, By: event.RestTyped},
				Asked: "upright", Mode: "upright", GainNS: unit.Width(1_500_000 + 128_000*(place-1)), Side: side, GainAt: place,
				Outputs: []event.OutputRest{{Output: outputs[0].Number, MeanNS: at(one)}, {Output: outputs[1].Number, MeanNS: at(two)}},
			})
		}
	}
	list[len(list)-1].Last = true
	return s, list
}

// Outputs are added up the way that each answers where it answers most; one that answers nowhere is left out.
func TestAGainSeriesAddsUpWhatAnswers(t *testing.T) {
	for name, x := range map[string]struct {
		one, two float64 // µs a degree at full gain
		outputs  int
		most     unit.Width
		law      event.GainLaw
	}{
		"both one way":   {2, 2, 2, 4000, event.GainStraight},
		"each its own":   {2, -2, 2, 4000, event.GainStraight},
		"one is dead":    {2, 0, 1, 2000, event.GainStraight},
		"nothing at all": {0, 0, 0, 0, event.GainUnknown},
	} {
		t.Run(name, func(t *testing.T) {
			s, rests := rested(t, func(place int) (float64, float64) {
				part := float64(place-1) / 4
				return x.one * part, x.two * part
			})
			d := gainSeries(s, &rests[len(rests)-1], rests)
			assert.Len(t, d.Outputs, x.outputs)
			assert.Equal(t, x.law, d.Law)
			assert.Equal(t, event.RestTyped, d.By)
			assert.Equal(t, 9, d.Channel)
			require.Len(t, d.Places, 5)
			assert.InDelta(t, float64(x.most), float64(d.Places[4].PerDegreeNS), 1)
			if x.outputs == 0 {
				assert.Equal(t, noAnswer, d.Why)
				return
			}
			assert.InDelta(t, float64(x.most/2), float64(d.Places[2].PerDegreeNS), 1)
			assert.Equal(t, int64(7), d.Places[2].Rests)
			assert.Equal(t, int64(500_000), d.Places[2].SharePPM)
		})
	}
}

// The way of an output is that of the place at which it answers most, whatever others do.
func TestTheWayOfAnOutputInASeries(t *testing.T) {
	at := []float64{0, 3, 1, 0.5, -0.8}
	s, rests := rested(t, func(place int) (float64, float64) { return at[place-1], 0 })
	d := gainSeries(s, &rests[len(rests)-1], rests)
	assert.InDelta(t, 3000, float64(d.Places[1].PerDegreeNS), 1)
	assert.InDelta(t, -800, float64(d.Places[4].PerDegreeNS), 1)
	assert.Equal(t, event.GainTurns, d.Law)
}

// What speaks against the rests of one place leaves that one open.
func TestAPlaceOfASeriesIsOpenByItself(t *testing.T) {
	s, rests := rested(t, func(place int) (float64, float64) { return float64(place), float64(place) })
	for i := range rests {
		switch r := &rests[i]; {
		case r.GainAt == 2 && r.Side < 0:
			r.GainNS += StrayLeast + 1
		case r.GainAt == 3 && r.Side < 0:
			r.GainNS += StrayLeast
		}
	}
	d := gainSeries(s, &rests[len(rests)-1], rests)
	for i, p := range d.Places {
		if i == 1 {
			assert.Equal(t, GainMoved, p.Why)
			assert.Zero(t, p.PerDegreeNS)
			continue
		}
		assert.Empty(t, p.Why)
	}
	assert.Equal(t, event.GainStraight, d.Law)
}
