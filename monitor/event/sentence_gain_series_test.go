package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

func TestSentencesOfAGainSeries(t *testing.T) {
	d := event.GainMeasuredData{Mode: "upright", Axis: "pitch", Channel: 9, Places: []event.GainPlace{
		{GainNS: 1_500_000, PerDegreeNS: 4, PerDegreeWithinNS: 12}, {GainNS: 1_628_000, Why: "the gain was changed meanwhile"},
		{GainNS: 2_012_000, PerDegreeNS: 4_960, PerDegreeWithinNS: 104},
	}}
	const where = "in UPRIGHT, about pitch, µs a degree with the gain at 1500 µs: 0.00 ± 0.01; 1628 µs: " +
		"open, the gain was changed meanwhile; 2012 µs: 4.96 ± 0.10: "
	for law, says := range map[event.GainLaw]string{
		event.GainUnknown:   "how they follow the knob can't be told: too few",
		event.GainStraight:  "the answers follow the knob in a straight line",
		event.GainReversed:  "the answers are reversed: the less, the more gain the sheet has there",
		event.GainConstant:  "the answers are alike at all places: what the knob sends does not set them",
		event.GainFlatBelow: "the knob has a dead end: up to 1628 µs the answers are alike, and grow from there",
		event.GainFlatAbove: "the knob has a dead end: the answers grow up to 1628 µs, and are alike from there",
		event.GainRising:    "the answers grow with the gain, but in no straight line",
		event.GainTurns:     "the answers grow and shrink as the knob is turned",
	} {
		d.Law, d.Why, d.AtNS = law, "", unit.Width(0)
		switch law {
		case event.GainUnknown:
			d.Why = "too few"
		case event.GainFlatBelow, event.GainFlatAbove:
			d.AtNS = 1_628_000
		}
		e := event.Event{Kind: event.GainMeasured, About: event.AboutStabiliser, Data: d}
		assert.Equal(t, where+says, event.Sentence(&e))
	}
}
