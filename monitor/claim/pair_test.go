package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
)

// What is reversed at one output only is not cured by the setting of the axis, which
// turns the good one over.
func TestTheCureOfAReversedCorrection(t *testing.T) {
	const left, right = "correction/pitch/output:1", "correction/pitch/output:2"
	for _, x := range []struct {
		name  string
		there [2]float64
		says  string
	}{
		{"both", [2]float64{40, -40}, "the correction is reversed: reverse the pitch correction in the stabiliser, not the servo"},
		{"one", [2]float64{-40, -40}, "only at this output, so don't reverse the pitch correction, which would turn the good ones over"},
		{"one, and the other can't be told", [2]float64{0, -40}, "only if all are reversed, reverse the pitch correction"},
	} {
		c := wing(t)
		c.wingTilts("pitch", "builder", x.there, [2]float64{-x.there[0], -x.there[1]})
		require.Equal(t, claim.VerdictWrong, c.verdict(right), x.name)
		assert.Contains(t, c.claim(right).Sentence, x.says, x.name)
	}
	c := wing(t)
	c.wingTilts("pitch", "builder", [2]float64{40, 40}, [2]float64{-40, -40})
	assert.Contains(t, c.claim(left).Sentence, "only at this output")
	c = starter(t)
	c.over("pitch", map[int]float64{2: 512})
	c.tilts("pitch", "count", map[int]went{2: stays(-75)}, map[int]went{2: stays(75)})
	assert.Contains(t, c.claim(onPitch).Sentence, ": reverse the pitch correction in the stabiliser, not the servo (")
}

// A rudder that answers roll goes with what a hand turns along, to either side.
func TestAnOutputThatAnswersAnotherAxis(t *testing.T) {
	for _, x := range []struct {
		name      string
		own, roll float64 // of the rudder, at a yaw and at a roll
		ailerons  float64
		want      claim.Verdict
		misled    bool
	}{
		{"it seems reversed", -24, 75, 75, claim.VerdictWrong, true},
		{"it seems right", 24, -75, 75, claim.VerdictWrong, true},
		{"it seems dead", 0, 75, 75, claim.VerdictWrong, true},
		{"a third of it is its own", -25, 75, 75, claim.VerdictWrong, false},
		{"and right", 25, 75, 75, claim.VerdictRight, false},
		{"too little to be sure of", 9, 29.9, 75, claim.VerdictOpen, false},
		{"no more than that", 9, 30, 75, claim.VerdictWrong, true},
		{"it was no roll", 9, 75, 0, claim.VerdictOpen, false},
	} {
		for _, first := range []bool{true, false} {
			c := starter(t)
			c.over("roll", map[int]float64{1: 512})
			c.over("yaw", map[int]float64{4: 512})
			rolled := func() {
				c.tilts("roll", "builder", map[int]went{1: stays(x.ailerons), 4: stays(x.roll)}, map[int]went{1: stays(-x.ailerons), 4: stays(-x.roll)})
			}
			if first {
				rolled()
			}
			c.tilts("yaw", "builder", map[int]went{4: kicks(x.own)}, map[int]went{4: kicks(-x.own)})
			if !first {
				rolled()
			}
			k := c.claim(onYaw)
			assert.Equal(t, x.want, k.Verdict, "%s: %s", x.name, k.Sentence)
			assert.Equal(t, x.misled, strings.Contains(k.Sentence, "corrects roll with it instead of yaw"), "%s: %s", x.name, k.Sentence)
		}
	}
}

// In the order of the drill the model is rolled before it is known what a yaw does. A
// roll that no aileron answered to both sides was none: what the rudder did with it is
// its own.
func TestAnAxisWhoseOwnOutputsDidNotAnswer(t *testing.T) {
	for _, x := range []struct {
		there, other float64 // of the ailerons
		misled       bool
	}{
		{0, 0, false}, {14.9, -75, false}, {75, -14.9, false}, {15, -15, true},
	} {
		c := starter(t)
		c.over("roll", map[int]float64{1: 512})
		c.tilts("roll", "builder", map[int]went{1: stays(x.there), 4: stays(75)}, map[int]went{1: stays(x.other), 4: stays(-75)})
		c.over("yaw", map[int]float64{4: 512})
		c.tilts("yaw", "builder", map[int]went{4: kicks(9)}, map[int]went{4: kicks(-9)})
		k := c.claim(onYaw)
		assert.Equal(t, x.misled, k.Verdict == claim.VerdictWrong, "%v: %s", x, k.Sentence)
		assert.Equal(t, x.misled, strings.Contains(k.Sentence, "corrects roll with it instead of yaw"), "%v: %s", x, k.Sentence)
	}
}

// An elevon corrects two axes: that it answers one much more than the other is no fault.
func TestElevonsAnswerEitherAxis(t *testing.T) {
	for _, x := range []struct{ pitch, roll float64 }{{20, 75}, {75, 20}} {
		c := wing(t)
		c.wingTilts("pitch", "builder", [2]float64{-x.pitch, x.pitch}, [2]float64{x.pitch, -x.pitch})
		c.wingTilts("roll", "builder", [2]float64{-x.roll, -x.roll}, [2]float64{x.roll, x.roll})
		for _, id := range []string{"correction/pitch/output:1", "correction/pitch/output:2", "correction/roll/output:1", "correction/roll/output:2"} {
			assert.Equal(t, claim.VerdictRight, c.verdict(id), "%v: %s", x, c.claim(id).Sentence)
		}
	}
}

func TestElevonsAreToldApart(t *testing.T) {
	const left, right = "correction/pitch/output:1", "correction/pitch/output:2"
	for _, x := range []struct {
		name        string
		by          string
		there       [2]float64
		left, right claim.Verdict
		says        string
	}{
		{"right", "count", [2]float64{-40, 40}, claim.VerdictRight, claim.VerdictRight, ""},
		{"right, with a roll along", "count", [2]float64{-46, 34}, claim.VerdictRight, claim.VerdictRight, ""},
		{"both reversed", "count", [2]float64{40, -40}, claim.VerdictWrong, claim.VerdictWrong, ""},
		{"it was rolled", "count", [2]float64{-40, -40}, claim.VerdictOpen, claim.VerdictOpen, "what was asked for was tail raised; that looked like a roll"},
		{"one is reversed, says a tap", "builder", [2]float64{-40, -40}, claim.VerdictRight, claim.VerdictWrong, ""},
		{"more a roll than a pitch", "count", [2]float64{-60, -12.1}, claim.VerdictOpen, claim.VerdictOpen, "looked like a roll"},
		{"as much a pitch, and one hardly answers", "count", [2]float64{-60, -11.9}, claim.VerdictRight, claim.VerdictWrong, "it should have moved about 60 µs"},
		{"a tap, but too little to go by", "builder", [2]float64{-29.9, -29.9}, claim.VerdictOpen, claim.VerdictOpen, "looked like a roll"},
		{"a tap, and enough", "builder", [2]float64{-30, -30}, claim.VerdictRight, claim.VerdictWrong, ""},
		{"one is dead", "count", [2]float64{-40, 0}, claim.VerdictRight, claim.VerdictWrong, "it should have moved about 40 µs"},
		{"one is nearly dead", "count", [2]float64{-40, 14.9}, claim.VerdictRight, claim.VerdictWrong, ""},
		{"one too small to tell", "count", [2]float64{-29.9, 5}, claim.VerdictRight, claim.VerdictOpen, "tilt the model farther"},
		{"just enough to tell", "count", [2]float64{-30, 5}, claim.VerdictRight, claim.VerdictWrong, ""},
		{"little, but the other stands still", "count", [2]float64{-15, 4.9}, claim.VerdictRight, claim.VerdictWrong, ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := wing(t)
			c.wingTilts("pitch", x.by, x.there, [2]float64{-x.there[0], -x.there[1]})
			assert.Equal(t, x.left, c.verdict(left), c.claim(left).Sentence)
			assert.Equal(t, x.right, c.verdict(right), c.claim(right).Sentence)
			assert.Contains(t, c.claim(right).Sentence, x.says)
		})
	}
	c := wing(t)
	c.wingTilts("pitch", "builder", [2]float64{-29.9, -29.9}, [2]float64{29.9, 29.9})
	assert.NotContains(t, c.claim(right).Sentence, "Enter", "that was pressed")
	c = wing(t)
	c.wingTilts("pitch", "count", [2]float64{-40, 40}, [2]float64{40, 40})
	assert.Contains(t, c.claim(right).Sentence, "what was asked for was nose raised; that looked like a roll")
	c = wing(t)
	c.wingTilts("roll", "count", [2]float64{-20, 20}, [2]float64{20, -20})
	assert.Contains(t, c.claim("correction/roll/output:1").Sentence, "that looked like a pitch")
}

// An elevon whose lead is out says nothing of itself, and takes nothing from the other.
func TestASilentElevon(t *testing.T) {
	for at := range 3 {
		c := wing(t)
		answers := []event.DrillAnsweredData{
			c.tilt("correction/pitch/stick", "wire", "level", map[int]went{1: stays(-256), 2: stays(256)}),
			c.tilt("correction/pitch/there", "count", "level", map[int]went{1: stays(-40), 2: stays(40)}),
			c.tilt("correction/pitch/other", "count", "level", map[int]went{1: stays(40), 2: stays(-40)}),
		}
		answers[0].Channels[1].ToNS = 2_012_000
		answers[at].Outputs[1].FromNS, answers[at].Outputs[1].TiltRestNS = 0, 0
		for _, d := range answers {
			c.hear(event.DrillAnswered, "drill:correction", d)
		}
		assert.Equal(t, claim.VerdictRight, c.verdict("correction/pitch/output:1"), at)
		assert.Equal(t, claim.VerdictOpen, c.verdict("correction/pitch/output:2"), at)
		assert.Contains(t, c.claim("correction/pitch/output:2").Sentence, "sent no pulses for a part of the drill")
	}
}
