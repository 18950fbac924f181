package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

func seriesBook(t *testing.T) *claim.Book {
	text := strings.Replace(string(sheettest.TwoSwitches()), "stabiliser:\n", "stabiliser:\n  measure: [gain]\n", 1)
	s, err := sheet.Read("series", []byte(text))
	require.NoError(t, err)
	return claim.New(s)
}

// measuredGain is a series at the five places of the knob.
func measuredGain(within unit.Width, answers ...unit.Width) event.GainMeasuredData {
	d := event.GainMeasuredData{Mode: "upright", Axis: sheet.Roll, Channel: 9, By: event.RestTyped, Law: event.GainStraight}
	for i, w := range answers {
		d.Places = append(d.Places, event.GainPlace{
			GainNS: unit.Width(1_500_000 + 128_000*i), SharePPM: int64(250_000 * i), PerDegreeNS: w, PerDegreeWithinNS: within,
		})
	}
	return d
}

func TestNoAndFullGain(t *testing.T) {
	open, right, wrong := claim.VerdictOpen, claim.VerdictRight, claim.VerdictWrong
	for name, x := range map[string]struct {
		d          event.GainMeasuredData
		none, full claim.Verdict
		says       string // in the claim of either
	}{
		"as the sheet has it":   {measuredGain(50, 0, 1000, 2000, 3000, 4000), right, right, "and nowhere more"},
		"hardly any is none":    {measuredGain(50, 150, 1000, 2000, 3000, 4000), right, right, "the answer is 0.15 ± 0.05"},
		"a little more, unsure": {measuredGain(50, 151, 1000, 2000, 3000, 4000), open, right, "whether that is none can't be told"},
		"just not sure":         {measuredGain(50, 450, 1000, 2000, 3000, 4000), open, right, "whether that is none can't be told"},
		"sure":                  {measuredGain(50, 451, 1000, 2000, 3000, 4000), wrong, right, "correct gain.zero in the sheet"},
		"the other way":         {measuredGain(50, -451, 1000, 2000, 3000, 4000), wrong, right, "correct gain.zero in the sheet"},
		"alike from the middle": {measuredGain(50, 0, 2000, 4000, 4000, 4000), right, right, "and nowhere more"},
		"a little less":         {measuredGain(50, 0, 2000, 4000, 4000, 3700), right, right, "and nowhere more"},
		"surely less":           {measuredGain(50, 0, 2000, 4000, 4000, 3699), right, wrong, "correct gain.full in the sheet"},
		"alike everywhere":      {measuredGain(50, 3000, 3000, 3000, 3000, 3000), wrong, open, "which place answers most can't be told"},
		"just surely more":      {measuredGain(50, 0, 2899, 2999, 3000, 3000), right, right, "and nowhere more"},
		"just not surely":       {measuredGain(50, 0, 2900, 2999, 3000, 3000), right, open, "which place answers most can't be told"},
	} {
		t.Run(name, func(t *testing.T) {
			b := seriesBook(t)
			sees(b, event.GainMeasured, event.AboutStabiliser, x.d)
			none, full := found(t, b, "gain/none"), found(t, b, "gain/full")
			assert.Equal(t, x.none, none.Verdict, none.Sentence)
			assert.Equal(t, x.full, full.Verdict, full.Sentence)
			assert.Contains(t, none.Sentence+full.Sentence, x.says)
			assert.Equal(t, right, found(t, b, "gain/law").Verdict)
		})
	}
}

func TestAnOpenPlaceLeavesItsClaimOpen(t *testing.T) {
	d := measuredGain(50, 0, 1000, 2000, 3000, 4000)
	d.Places[0] = event.GainPlace{GainNS: 1_500_000, Why: "the gain was changed meanwhile"}
	d.Places[4].GainNS = 1_990_000 // not at its end
	b := seriesBook(t)
	sees(b, event.GainMeasured, event.AboutStabiliser, d)
	for part, says := range map[string]string{"none": "the gain was changed meanwhile", "full": "the knob was not measured there"} {
		c := found(t, b, "gain/"+part)
		assert.Equal(t, claim.VerdictOpen, c.Verdict)
		assert.Contains(t, c.Sentence, says)
	}
	d = measuredGain(50, 0, 0, 0, 0, 0)
	d.Law, d.Why = event.GainUnknown, "no output answers surely"
	b = seriesBook(t)
	sees(b, event.GainMeasured, event.AboutStabiliser, d)
	for _, part := range []string{"law", "none", "full"} {
		c := found(t, b, "gain/"+part)
		assert.Equal(t, claim.VerdictOpen, c.Verdict)
		assert.Contains(t, c.Sentence, "no output answers surely")
	}
}

// A swing counts for the series in which it was seen, each place once; and no sentence names a gain to fly with.
func TestASwingInASeries(t *testing.T) {
	b, of := seriesBook(t), event.AboutDrill.Called(drill.GainSeries)
	swings := func(at unit.Width) {
		sees(b, event.OutputUnsteady, "output:1", event.OutputUnsteadyData{MilliHz: 2_500, AmplitudeNS: 12_000, GainNS: at})
	}
	says := func() string {
		sees(b, event.GainMeasured, event.AboutStabiliser, measuredGain(50, 0, 1000, 2000, 3000, 4000))
		return found(t, b, "gain/law").Sentence
	}
	swings(1_700_000)
	sees(b, event.DrillBegan, of, event.DrillBeganData{})
	assert.NotContains(t, says(), "too much")
	swings(1_884_000)
	swings(1_884_000)
	sees(b, event.OutputCalm, "output:1", event.OutputUnsteadyData{GainNS: 1_628_000})
	swings(2_012_000)
	assert.Contains(t, says(), "; with it at 1884 µs, 2012 µs an output swung by itself: that is too much, even there")
	assert.Contains(t, found(t, b, "steady/output:1").Sentence, "too much gain (gain stands at 2012 µs: too much, even here)")
	sees(b, event.DrillEnded, of, event.DrillEndedData{})
	swings(1_756_000)
	assert.NotContains(t, says(), "1756 µs an output")
	sees(b, event.DrillBegan, of, event.DrillBeganData{})
	assert.NotContains(t, says(), "swung")
}
