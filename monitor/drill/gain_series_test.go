package drill_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/unit"
)

const measuresGain = "stabiliser:\n  measure: [gain]\n"

// The knob goes from the end with less gain to the other, and the model rests at each place.
func TestTheGainSeriesOfTheStarter(t *testing.T) {
	s := starter(t, "stabiliser:\n", measuresGain)
	list := prompts(t, s, drill.GainSeries)
	require.Len(t, list, 2+5*8+1)
	assert.Equal(t, []string{
		"gain-series/set/way/1/inner/front: put inner to front",
		"gain-series/set: put outer to back (inner stays at front)",
		"gain-series/1/turn: turn gain fully to anticlockwise",
	}, list[:3])
	assert.Equal(t, "gain-series/2/turn: turn gain to about 1628 µs, and leave it there", list[10])
	assert.Equal(t, "gain-series/5/turn: turn gain fully to clockwise", list[34])
	assert.Contains(t, list[35], "gain-series/5/level: lay the model back")
	assert.Contains(t, list[36], "gain-series/5/there/1: raise the tail by about 6 degrees")
	assert.Contains(t, list[41], "gain-series/5/other/3: raise the nose by about 26 degrees")
	assert.Contains(t, list[42], "gain-series/end: lay the model back")
	plan, _ := drill.Find(drill.Plans(s), drill.GainSeries)
	turn := plan.Prompt("gain-series/2/turn")
	assert.Equal(t, []drill.Target{{Channel: 9, Width: 1_628_000, Within: 32_000}}, turn.Until.Targets)
	assert.Equal(t, "gain 1628 ΜS", plan.KeyWord(s, turn))
	last := plan.Prompts[len(plan.Prompts)-1].Asks
	assert.True(t, last.Last && last.GainAt == 5 && last.Side == 0)
}

// Which end has less gain is the sheet's law, not the width.
func TestAGainSeriesBeginsWithLessGain(t *testing.T) {
	for name, x := range map[string]struct {
		law    string
		places []unit.Width
	}{
		"none at the upper end": {"gain: {channel: gain, law: one-sided, zero: 2012, full: 1500}",
			[]unit.Width{2_012_000, 1_884_000, 1_756_000, 1_628_000, 1_500_000}},
		"both ends alike": {"gain: {channel: gain, law: folded, zero: 1756, full: [1500, 2012]}",
			[]unit.Width{1_500_000, 1_628_000, 1_756_000, 1_884_000, 2_012_000}},
	} {
		t.Run(name, func(t *testing.T) {
			s := small(t, "taps: {main: {kind: bus, carries: heard}, leads: {kind: pulses}}\n"+
				"channels:\n  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}\n"+
				"  9: {name: gain, kind: knob, ends: {one: 1500, other: 2012}}\n  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}\n"+x.law+
				"\nstabiliser:\n  windows: {from: guess}\n  measure: [gain]\n  modes:\n"+
				"    upright: {when: [{inner: [0, 1500]}], wanted_at: [{inner: back}], does: stays}\n"+
				"outputs:\n  2: {surface: elevator, moved_by: {elevator: 1.0}, corrects: [pitch]}\n")
			plan, ok := drill.Find(drill.Plans(s), drill.GainSeries)
			require.True(t, ok)
			var places []unit.Width
			for _, p := range plan.Prompts {
				if p.Asks.Act == drill.ActTurn || p.Asks.Act == drill.ActDial {
					places = append(places, p.Until.Targets[0].Width)
				}
			}
			assert.Equal(t, x.places, places)
		})
	}
}

// Without what shows it there is none: leads, an output that corrects pitch or roll, the word in the sheet.
func TestNoGainSeries(t *testing.T) {
	for name, changes := range map[string][]string{
		"nobody wants it": nil,
		"no leads": {"stabiliser:\n", measuresGain, "  leads:                      #",
			"  spare:                      #", "    kind: pulses ", "    kind: bus\n    carries: heard "},
		"yaw alone": {"stabiliser:\n", measuresGain, "    corrects: [pitch]\n", "    corrects: []\n", "    corrects: [roll]  ", "    corrects: []  "},
	} {
		t.Run(name, func(t *testing.T) {
			_, ok := drill.Find(drill.Plans(starter(t, changes...)), drill.GainSeries)
			assert.False(t, ok)
		})
	}
}
