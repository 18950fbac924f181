package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

// gestured is a court whose sheet allows limit learning when it says.
func gestured(t *testing.T, allowed string) *court {
	text := strings.Replace(string(sheet.Starter()), "allowed: in-drill", "allowed: "+allowed, 1)
	require.Contains(t, text, "allowed: "+allowed)
	return open(t, text)
}

func TestWhenAGestureMayBeMade(t *testing.T) {
	made := fact.GestureData{Tap: "main", Gesture: "limit-learning", Times: 3, SpanNS: 2 * fact.Second, Signal: fact.Live}
	for _, c := range []struct {
		allowed string
		inDrill bool
		gesture string
		want    claim.Verdict
	}{
		{"in-drill", false, "limit-learning", claim.Wrong},
		{"in-drill", true, "limit-learning", claim.Open},
		{"never", false, "limit-learning", claim.Wrong},
		{"never", true, "limit-learning", claim.Wrong},
		{"in-drill", false, "another", claim.Open},
	} {
		k, d := gestured(t, c.allowed), made
		d.InDrill, d.Gesture = c.inDrill, c.gesture
		k.hear(fact.GestureMade, "switch:learn", d)
		assert.Equal(t, c.want, k.verdict("gesture/limit-learning"), "%+v", c)
	}
	for _, k := range gestured(t, "always").book.Claims() {
		assert.NotEqual(t, "gesture/limit-learning", k.ID, "what may always happen is no claim")
	}
	c := starter(t)
	c.hear(fact.GestureMade, "switch:learn", made)
	k := c.claim("gesture/limit-learning")
	assert.Contains(t, k.Sentence, "limit-learning was set off: 3 movements within 2.00 s; put its channel on a momentary switch of two positions in the transmitter")
	assert.Equal(t, map[string]int64{"times": 3, "span_ns": 2_000_000_000}, k.Figures)
}

func TestHowLongNoGestureMustBeMade(t *testing.T) {
	for watched, want := range map[fact.Time]claim.Verdict{9 * fact.Second: claim.Open, 10 * fact.Second: claim.Right} {
		c := starter(t)
		c.hear(fact.SessionBegan, "session", fact.SessionData{})
		c.now += watched - fact.Second
		c.hear(fact.SessionEnded, "session", nil)
		assert.Equal(t, want, c.verdict("gesture/limit-learning"), watched)
	}
	for _, x := range []struct {
		before fact.Time
		what   string
		after  fact.Time
		want   claim.Verdict
	}{
		{20 * fact.Second, "learn", 8 * fact.Second, claim.Stale},
		{20 * fact.Second, claim.Everything, 8 * fact.Second, claim.Stale},
		{6 * fact.Second, "learn", 5 * fact.Second, claim.Open},
		{6 * fact.Second, "aileron", 5 * fact.Second, claim.Right},
		{6 * fact.Second, "learn", 10 * fact.Second, claim.Right},
	} {
		c := starter(t)
		c.hear(fact.SessionBegan, "session", fact.SessionData{})
		c.now += x.before - fact.Second
		c.hear(fact.SessionEnded, "session", nil)
		c.hear(fact.SessionResumed, "session", fact.SessionData{})
		c.hear(fact.Reopened, "session", fact.ReopenData{What: x.what})
		c.now += x.after - fact.Second
		c.hear(fact.SessionEnded, "session", nil)
		assert.Equal(t, x.want, c.verdict("gesture/limit-learning"), "%+v", x)
	}
	c := starter(t)
	for range 2 { // five seconds each, and a long pause in between
		c.hear(fact.SessionBegan, "session", fact.SessionData{})
		c.now += 4 * fact.Second
		c.hear(fact.SessionEnded, "session", nil)
		c.now += 100 * fact.Second
	}
	assert.Contains(t, c.claim("gesture/limit-learning").Sentence, "in 10.00 s of watching")
}
