package claim_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

func TestOutputsWithoutASignal(t *testing.T) {
	stood := func(was, now unit.Width) event.LossOutput {
		return event.LossOutput{WasNS: was * 1000, NowNS: now * 1000, LeastNS: now * 1000, MostNS: now * 1000, SilentNS: -1}
	}
	silent := event.LossOutput{WasNS: 1_700_000, NowNS: 1_700_000, SilentNS: 50 * unit.Millisecond}
	moving := event.LossOutput{WasNS: 1_700_000, NowNS: 1_600_000, LeastNS: 1_500_000, MostNS: 1_700_000, SilentNS: -1}
	for _, x := range []struct {
		name, preset string
		output       int
		did          event.LossOutput
		want         claim.Verdict
	}{
		{"a motor that stops", "stops", 3, stood(1700, 988), claim.VerdictRight},
		{"a motor at cut, as far as the tolerance goes", "stops", 3, stood(1700, 1000), claim.VerdictRight},
		{"a motor above it", "stops", 3, stood(1700, 1001), claim.VerdictWrong},
		{"a motor that holds", "stops", 3, stood(1700, 1700), claim.VerdictWrong},
		{"a motor without pulses", "stops", 3, silent, claim.VerdictRight},
		{"a motor that stops at last, and runs up before", "stops", 3,
			event.LossOutput{WasNS: 1_700_000, NowNS: 988_000, LeastNS: 988_000, MostNS: 1_200_000, SilentNS: -1}, claim.VerdictWrong},
		{"a motor without pulses at once", "stops", 3,
			event.LossOutput{WasNS: 1_700_000, NowNS: 1_700_000, LeastNS: 1_700_000, MostNS: 1_700_000, SilentNS: 0},
			claim.VerdictRight},
		{"a motor that stood at cut", "stops", 3, stood(988, 988), claim.VerdictOpen},
		{"it follows", "follows", 1, moving, claim.VerdictRight},
		{"it follows by standing", "follows", 1, stood(1700, 1700), claim.VerdictRight},
		{"it is to follow and is silent", "follows", 1, silent, claim.VerdictWrong},
		{"it is to be silent", "silent", 1, silent, claim.VerdictRight},
		{"it is to be silent and goes on", "silent", 1, moving, claim.VerdictWrong},
		{"it holds", "hold", 1, stood(1700, 1712), claim.VerdictRight},
		{"it is to hold and goes", "hold", 1, stood(1700, 1713), claim.VerdictWrong},
		{"it is to hold and moves", "hold", 1, moving, claim.VerdictWrong},
		{"it is to hold and goes the wide way", "hold", 1,
			event.LossOutput{WasNS: 1_700_000, NowNS: 1_700_000, LeastNS: 1_690_000, MostNS: 1_713_000, SilentNS: -1},
			claim.VerdictWrong},
		{"it is to hold and goes the narrow way", "hold", 1,
			event.LossOutput{WasNS: 1_700_000, NowNS: 1_700_000, LeastNS: 1_687_000, MostNS: 1_710_000, SilentNS: -1},
			claim.VerdictWrong},
		{"it is to hold and is silent", "hold", 1, silent, claim.VerdictWrong},
		{"to a width", "1500", 1, stood(1700, 1512), claim.VerdictRight},
		{"to another", "1500", 1, stood(1700, 1513), claim.VerdictWrong},
		{"to a width, from beyond it", "1500", 1, event.LossOutput{WasNS: 1_700_000, NowNS: 1_500_000, LeastNS: 1_487_000,
			MostNS: 1_500_000, SilentNS: -1}, claim.VerdictWrong},
		{"it stood there", "1500", 1, stood(1500, 1500), claim.VerdictOpen},
		{"at most", "{at_most: 1500}", 1, moving, claim.VerdictWrong},
	} {
		t.Run(x.name, func(t *testing.T) {
			text := string(sheettest.TwoSwitches())
			if x.output == 3 {
				text = strings.Replace(text, "motor: stops ", "motor: "+x.preset+" ", 1)
			} else {
				text = strings.Replace(text, "default: follows ", "default: "+x.preset+" ", 1)
			}
			c := open(t, text)
			x.did.Output = x.output
			c.hear(event.LossOutputs, "tap:leads", event.LossOutputsData{Tap: "leads", Bus: "main", Outputs: []event.LossOutput{x.did}})
			id := map[int]string{1: "failsafe/output:1", 3: "failsafe/output:3"}[x.output]
			assert.Equal(t, x.want, c.verdict(id), c.claim(id).Sentence)
			for other := range c.verdicts() {
				assert.Equal(t, id, other)
			}
		})
	}
}

// What the sheet does not speak of follows the stabiliser.
func TestAnOutputThatTheSheetSaysNothingOf(t *testing.T) {
	text := regexp.MustCompile(`(?m)^  leads: +# on the servo leads;.*\n.*\n.*\n`).ReplaceAllString(string(sheettest.TwoSwitches()), "")
	require.NotEqual(t, text, string(sheettest.TwoSwitches()))
	c := open(t, text)
	c.hear(event.LossOutputs, "tap:leads",
		event.LossOutputsData{Outputs: []event.LossOutput{{Output: 1, WasNS: 1_700_000, NowNS: 1_600_000, LeastNS: 1_500_000,
			MostNS: 1_700_000, SilentNS: -1}}})
	assert.Equal(t, claim.VerdictRight, c.verdict("failsafe/output:1"), c.claim("failsafe/output:1").Sentence)
}

// A motor's danger is reported, a surface's is none.
func TestTheDangerIsTold(t *testing.T) {
	c := starter(t)
	went := func(output int) event.LossOutput {
		return event.LossOutput{Output: output, WasNS: 1_700_000, NowNS: 1_700_000, LeastNS: 1_700_000, MostNS: 1_700_000, SilentNS: -1}
	}
	quiet := went(1)
	quiet.SilentNS = 0
	c.hear(event.LossOutputs, "tap:leads", event.LossOutputsData{Outputs: []event.LossOutput{quiet, went(3)}})
	assert.Contains(t, c.claim("failsafe/output:3").Sentence, "a motor could run with nobody to stop it")
	assert.Contains(t, c.claim("failsafe/output:1").Sentence, "fell silent 0.0 ms after the last live frame")
	assert.NotContains(t, c.claim("failsafe/output:1").Sentence, "motor")
}

// A motor stops with the cut of its throttle, whatever else is mixed into it.
func TestAMotorWithAMix(t *testing.T) {
	text := strings.Replace(string(sheettest.TwoSwitches()), "{throttle: 1.0}", "{elevator: 0.1, throttle: 1.0}", 1)
	c := open(t, text)
	c.hear(event.LossOutputs, "tap:leads",
		event.LossOutputsData{Outputs: []event.LossOutput{{Output: 3, WasNS: 1_400_000, NowNS: 988_000, LeastNS: 988_000,
			MostNS: 988_000, SilentNS: -1}}})
	assert.Equal(t, claim.VerdictRight, c.verdict("failsafe/output:3"), c.claim("failsafe/output:3").Sentence)
}

// A motor whose output runs the other way stops at the wide end.
func TestAMotorTheOtherWay(t *testing.T) {
	text := strings.Replace(string(sheettest.TwoSwitches()), "{throttle: 1.0}", "{throttle: -1.0}", 1)
	for now, want := range map[unit.Width]claim.Verdict{2_012_000: claim.VerdictRight, 2_000_000: claim.VerdictRight, 1_999_000: claim.VerdictWrong} {
		c := open(t, text)
		c.hear(event.LossOutputs, "tap:leads",
			event.LossOutputsData{Outputs: []event.LossOutput{{Output: 3, WasNS: 1_400_000, NowNS: now, LeastNS: now,
				MostNS: now, SilentNS: -1}}})
		assert.Equal(t, want, c.verdict("failsafe/output:3"), "%d ns", now)
	}
}
