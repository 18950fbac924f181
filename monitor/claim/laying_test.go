package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet/sheettest"
)

// How a phone lies is shown in its drill, and is to be shown again once it may lie otherwise.
func TestHowAPhoneLies(t *testing.T) {
	const id, moved = "laying/phone", "the phone slid, fell, was taken off or was not heard since"
	laid := func(c *court) {
		c.hear(event.TiltLaid, "tap:phone", event.TiltLaidData{Agrees: true, Raised: make([]event.TiltSeen, 3)})
	}
	for _, x := range []struct {
		name string
		do   func(c *court)
		want claim.Verdict
		says string
	}{
		{"as the sheet says", laid, claim.VerdictRight, "the phone saw each as asked for"},
		{"otherwise", func(c *court) {
			c.hear(event.TiltLaid, "tap:phone", event.TiltLaidData{Why: "it lies the wrong way round"})
		}, claim.VerdictOpen,
			"it lies the wrong way round; until then tilts rest on what is said by hand"},
		{"it slid", func(c *court) {
			laid(c)
			c.hear(event.TiltTrouble, "tap:phone", event.TiltTroubleData{Why: event.TiltJumped})
		}, claim.VerdictOpen, moved},
		{"it was gone", func(c *court) { laid(c); c.hear(event.TiltSilent, "tap:phone", event.TiltSilentData{}) }, claim.VerdictOpen, moved},
		{"another trouble", func(c *court) {
			laid(c)
			c.hear(event.TiltTrouble, "tap:phone", event.TiltTroubleData{Why: event.TiltSlow})
		}, claim.VerdictRight, "as asked for"},
		{"shown again", func(c *court) { laid(c); c.hear(event.TiltSilent, "tap:phone", event.TiltSilentData{}); laid(c) }, claim.VerdictRight, "as asked for"},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := open(t, strings.Replace(string(sheettest.TwoSwitches()), "taps:\n", "taps:\n  phone: {kind: tilt, top: nose}\n", 1))
			x.do(c)
			assert.Equal(t, x.want, c.verdict(id))
			assert.Contains(t, c.claim(id).Sentence, x.says)
		})
	}
}
