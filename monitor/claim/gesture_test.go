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

// gestured is a court whose sheet allows limit learning when it says.
func gestured(t *testing.T, allowed string) *court {
	text := strings.Replace(string(sheettest.TwoSwitches()), "allowed: in-drill", "allowed: "+allowed, 1)
	require.Contains(t, text, "allowed: "+allowed)
	return open(t, text)
}

func TestWhenAGestureMayBeMade(t *testing.T) {
	made := event.GestureData{Tap: "main", Gesture: "limit-learning", Times: 3, SpanNS: 2 * unit.Second, Signal: event.SignalLive}
	for _, c := range []struct {
		allowed string
		inDrill bool
		gesture string
		want    claim.Verdict
	}{
		{"in-drill", false, "limit-learning", claim.VerdictWrong},
		{"in-drill", true, "limit-learning", claim.VerdictOpen},
		{"never", false, "limit-learning", claim.VerdictWrong},
		{"never", true, "limit-learning", claim.VerdictWrong},
		{"in-drill", false, "another", claim.VerdictOpen},
	} {
		k, d := gestured(t, c.allowed), made
		d.InDrill, d.Gesture = c.inDrill, c.gesture
		k.hear(event.GestureMade, "switch:teach", d)
		assert.Equal(t, c.want, k.verdict("gesture/limit-learning"), "%+v", c)
	}
	for _, k := range gestured(t, "always").book.Claims() {
		assert.NotEqual(t, "gesture/limit-learning", k.ID, "what may always happen is no claim")
	}
	c := starter(t)
	c.hear(event.GestureMade, "switch:teach", made)
	k := c.claim("gesture/limit-learning")
	assert.Contains(t, k.Sentence, "limit-learning was set off: 3 movements within 2.00 s; keep your hand off it, and "+
		"see that nothing else drives channel 15 in the transmitter")
	assert.Equal(t, map[string]int64{"times": 3, "span_ns": 2_000_000_000}, k.Figures)
}

// Ten minutes in which its channel was heard, and it moved: another may drive it.
func TestHowLongNoGestureMustBeMade(t *testing.T) {
	const id, ten = "gesture/limit-learning", 10 * unit.Minute
	works := func(channels ...int) func(*event.ExposureData) {
		return func(d *event.ExposureData) { d.Moved = channels }
	}
	for _, x := range []struct {
		name string
		hear func(*court)
		want claim.Verdict
		says string
	}{
		{"nothing heard", func(c *court) { c.ends() }, claim.VerdictOpen, "limit-learning was not set off so far: watched for 0 s " +
			"of 10:00 so far; teach never moved"},
		{"ten minutes", func(c *court) { c.watched(ten, works(1, 15)) }, claim.VerdictRight, "limit-learning was not set off in 10:00.000 in which teach was heard"},
		{"a little less", func(c *court) { c.watched(ten-1, works(15)) }, claim.VerdictOpen, "watched for 9:59 of 10:00 so far"},
		{"it never moved", func(c *court) { c.watched(2*ten, works(1, 13)) }, claim.VerdictOpen,
			"limit-learning was not set off so far: teach never moved: work its switch once"},
		{"in two stretches", func(c *court) { c.watched(ten/2, works(15)); c.watched(ten/2, works()) }, claim.VerdictRight, ""},
		{"on two taps", func(c *court) {
			c.watched(ten/2, works(15))
			c.watched(ten/2, works(15), func(d *event.ExposureData) { d.Tap = "second" })
		}, claim.VerdictOpen, "watched for 5:00 of 10:00 so far"},
		{"reopened", func(c *court) { c.watched(ten, works(15)); c.reopens("teach"); c.watched(ten-1, works(15)) }, claim.VerdictStale, ""},
		{"with everything", func(c *court) { c.watched(ten, works(15)); c.reopens(claim.TopicAll); c.watched(ten-1, works(15)) }, claim.VerdictStale, ""},
		{"reopened, and watched again", func(c *court) { c.watched(ten, works(15)); c.reopens("teach"); c.watched(ten, works(15)) }, claim.VerdictRight, ""},
		{"reopened before it was watched for long enough",
			func(c *court) { c.watched(ten-1, works(15)); c.reopens("teach"); c.watched(2, works(15)) }, claim.VerdictOpen, ""},
		{"another reopened", func(c *court) { c.watched(ten-1, works(15)); c.reopens("aileron"); c.watched(2, works(15)) }, claim.VerdictRight, ""},
		{"a stretch that began before it", func(c *court) { c.reopens("teach"); c.now = c.now.Add(-unit.Second); c.watched(ten, works(15)) }, claim.VerdictOpen, ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			x.hear(c)
			assert.Equal(t, x.want, c.verdict(id))
			assert.Contains(t, c.claim(id).Sentence, x.says)
		})
	}
}
