package sheet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
)

func TestStarterHasNoUnwelcomeConsequence(t *testing.T) {
	_, doubts, err := sheet.ReadNew("starter", sheettest.TwoSwitches())
	require.NoError(t, err)
	assert.Empty(t, doubts)
}

const plain = `sheet: 1
model: M
channels:
  3: {name: throttle, kind: throttle, drives: motor, cut: 988, idle: 1010, full: 2012}
  9: {name: gain, kind: knob, ends: {anticlockwise: 1500, clockwise: 2012}}
  11: {name: inner, kind: switch, positions: {back: 988, middle: 1500, front: 2012}}
gain: {channel: gain, law: folded, zero: 1500, full: [988, 2012]}
stabiliser:
  windows: {from: guess}
  modes:
    off: {when: [{inner: [0, 1300]}], wanted_at: [{inner: back}]}
    rate: {when: [{inner: [1300, 1700]}], wanted_at: [{inner: middle}]}
    level: {when: [{inner: [1750, 3000]}], wanted_at: [{inner: front}]}
  margin: 100 us
failsafe: {flag: required, within: 1s, heard: {throttle: 988, inner: 1500}}
`

func TestConsequences(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"none", "", "", ""},
		{"margin", "margin: 100 us", "margin: 300 us", "m:12:43: at inner middle the sheet's own widths lie only 200 us " +
			"inside the window of rate, but margin asks for 300 us"},
		{"unreached", "rate: {when: [{inner: [1300, 1700]}]", "rate: {when: [{inner: [1300, 1700]}, {inner: [3000, 3100]}]",
			"no place of inner lies in the window 3000 us to 3100 us of rate"},
		{"no mode", "level: {when: [{inner: [1750, 3000]}], wanted_at: [{inner: front}]}",
			"level: {when: [{inner: [2100, 3000]}]}", "at inner front no window covers what the switches send: no mode"},
		{"folded", "anticlockwise: 1500", "anticlockwise: 988", "gain turns from one side of 1500 us to the other: there is no gain at all in the middle"},
		{"failsafe without mode", "inner: 1500}}", "inner: 1720}}", "without a signal the presets ask for no mode"},
		{"motor holds", "throttle: 988,", "throttle: hold,", "m:15:48: without a signal throttle may stand above its idle"},
		{"motor at idle plus trim", "throttle: 988,", "throttle: 1030,", "CAP 658"},
		{"motor may be fast", "throttle: 988,", "throttle: {at_least: 900},", "without a signal throttle may stand above its idle"},
		{"motor stops", "throttle: 988,", "throttle: {at_most: 1000},", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Contains(t, plain, c.old)
			text := strings.Replace(plain, c.old, c.new, 1)
			_, doubts, err := sheet.ReadNew("m", []byte(text))
			require.NoError(t, err)
			got := ""
			for _, d := range doubts {
				got += d.String() + "\n"
			}
			if c.want == "" {
				assert.Empty(t, got)
			}
			assert.Contains(t, got, c.want)
		})
	}
}
