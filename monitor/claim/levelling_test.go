package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

// levels is a court over a sheet that says how level is learned.
func levels(t *testing.T) *court {
	return open(t, string(sheettest.TwoSwitches())+"levelling: {starts: go, sides: [flat, nose up], rests: 3s, still_after_power_up: 4s}\n")
}

func TestLevelling(t *testing.T) {
	const id = "levelling/rested"
	side := func(name string, still event.Stillness) event.LevelSide {
		return event.LevelSide{Side: name, LastsNS: 4 * unit.Second, Still: still, StrayNS: 40_000}
	}
	c := levels(t)
	c.hear(event.LevelLearned, "drill:levelling", event.LevelData{Sides: []event.LevelSide{side("flat", event.StillSeen), side("nose up", event.StillMoved)}})
	assert.Equal(t, claim.VerdictOpen, c.verdict(id))
	assert.Contains(t, c.claim(id).Sentence, "on nose up it was not still: an output that answers went by 40 µs")
	c.hear(event.LevelLearned, "drill:levelling", event.LevelData{Sides: []event.LevelSide{side("flat", event.StillSeen), side("nose up", event.StillCounted)}})
	assert.Equal(t, claim.VerdictRight, c.verdict(id))
	assert.Contains(t, c.claim(id).Sentence, "flat for 4.00 s, seen still on its outputs and nose up for 4.00 s, counted, not seen")
	assert.Equal(t, int64(1), c.claim(id).Figures["counted"])

	// Begun again and broken off, the level is unknown; a drill that was not begun changes nothing.
	c.hear(event.DrillEnded, "drill:levelling", event.DrillEndedData{How: "abandoned"})
	assert.Equal(t, claim.VerdictRight, c.verdict(id))
	c.did("levelling/start", nil)
	c.hear(event.DrillEnded, "drill:order", event.DrillEndedData{How: "abandoned"})
	assert.Equal(t, claim.VerdictRight, c.verdict(id))
	c.hear(event.DrillEnded, "drill:levelling", event.DrillEndedData{How: "abandoned"})
	assert.Equal(t, claim.VerdictOpen, c.verdict(id))
	assert.Contains(t, c.claim(id).Sentence, "the level is unknown until it is learned again")

	c.did("levelling/start", nil)
	c.hear(event.LevelLearned, "drill:levelling", event.LevelData{Sides: []event.LevelSide{side("flat", event.StillSeen)}})
	c.hear(event.DrillEnded, "drill:levelling", event.DrillEndedData{How: "finished"})
	assert.Equal(t, claim.VerdictRight, c.verdict(id))
}

func TestLyingStillAfterPowerUp(t *testing.T) {
	const id = "levelling/after-power-up"
	for name, x := range map[string]struct {
		first, stood unit.Duration // ms, of ten seconds
		mode         string
		want         claim.Verdict
		says         string
	}{
		"at rest in time":           {1000, 7000, "upright", claim.VerdictRight, "a model that moved would have shown, since outputs answer in UPRIGHT"},
		"just in time":              {1000, 5000, "upright", claim.VerdictRight, "outputs rested within 4.00 s of their first pulse"},
		"too late":                  {1000, 4999, "upright", claim.VerdictOpen, "the model was disturbed, or this receiver takes longer"},
		"in a mode that is off":     {1000, 7000, "plain", claim.VerdictRight, "counted, not seen: that outputs answer in PLAIN"},
		"in a mode that nobody saw": {1000, 7000, "damping", claim.VerdictRight, "counted, not seen: that outputs answer in DAMPING"},
		"it was never off":          {299, 9700, "upright", claim.VerdictOpen, "so the receiver was not switched off"},
		"it stays silent":           {0, 0, "upright", claim.VerdictOpen, "sent no pulses"},
	} {
		t.Run(name, func(t *testing.T) {
			c := levels(t)
			c.hear(event.DrillAnswered, "drill:response", c.tilt("response/upright/1/there", "builder", "upright", map[int]went{2: stays(80)}))
			require.Equal(t, claim.VerdictRight, c.verdict("response/upright"))
			d := c.tilt("keep-still/on", "wire", x.mode, nil)
			for i := range d.Outputs {
				d.Outputs[i].FirstNS, d.Outputs[i].StoodNS = x.first*unit.Millisecond, x.stood*unit.Millisecond
			}
			c.lasting(10*unit.Second, event.DrillAnswered, "drill:keep-still", d)
			assert.Equal(t, x.want, c.verdict(id), c.claim(id).Sentence)
			assert.True(t, strings.Contains(c.claim(id).Sentence, x.says), c.claim(id).Sentence)
		})
	}
}

// lasting folds an event in that began so long before.
func (c *court) lasting(d unit.Duration, kind, about string, data any) {
	c.t.Helper()
	c.now = c.now.Add(d)
	c.book.See(&event.Event{At: c.now, From: c.now.Add(-d), Kind: kind, About: about, Data: data}, func(*claim.Claim, claim.Verdict) {})
}
