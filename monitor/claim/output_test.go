package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet/sheettest"
)

func TestWhatMovesAnOutputInWords(t *testing.T) {
	text := strings.Replace(string(sheettest.TwoSwitches()), "{throttle: 1.0}", `{throttle: 1.0, elevator: -0.25, rudder: "?"}`, 1)
	assert.Equal(t, "output 3 (motor) is moved by throttle 1.00, elevator -0.25 and rudder and by nothing else", open(t, text).claim("moves/output:3").Sentence)
}

// Where there is no stabiliser, nothing stabilises: outputs must stand still always.
func TestWithoutAStabiliserOutputsStandStill(t *testing.T) {
	c := open(t, `sheet: 1
model: m
taps: {main: {kind: bus}, leads: {kind: pulses}}
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
outputs:
  1: {surface: left aileron, moved_by: {aileron: 1.0}}
`)
	c.hear(event.OutputJitter, "output:1", event.OutputJitterData{SpreadNS: 9_000, Pulses: 250})
	assert.Equal(t, claim.VerdictWrong, c.verdict("jitter/output:1"))
}
