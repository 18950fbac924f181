package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet/sheettest"
)

var (
	fullLeft  = map[int][]float64{1: {1500, 988}}
	fullRight = map[int][]float64{1: {1500, 2012}}
)

// The lower stop of a throttle is its idle; its cut comes from a switch.
func TestTheThrottleRestsAtItsIdle(t *testing.T) {
	c := starter(t)
	c.did("ends/throttle/idle", map[int][]float64{3: {1500, 1010}})
	assert.Equal(t, claim.VerdictRight, c.verdict("travel/throttle/idle"))
	c.did("ends/throttle/full", map[int][]float64{3: {1010, 2012}})
	assert.Equal(t, claim.VerdictRight, c.verdict("travel/throttle/full"))
	assert.Equal(t, claim.VerdictRight, c.verdict("clip/throttle"))

	text := strings.Replace(string(sheettest.TwoSwitches()), "    idle: 1010 ", "    # idle: 1010 ", 1)
	c = open(t, text)
	c.did("ends/throttle/cut", map[int][]float64{3: {1500, 988}})
	assert.Equal(t, claim.VerdictRight, c.verdict("travel/throttle/cut"), "where there is no idle")
}

// Short, long or right: a stop shows that nothing was cut off, unless it comes short.
func TestWhichStopsWereVisited(t *testing.T) {
	for name, x := range map[string]struct {
		left, right float64
		want        claim.Verdict
	}{
		"both":             {988, 2012, claim.VerdictRight},
		"both too far":     {900, 2100, claim.VerdictRight},
		"one short":        {1100, 2012, claim.VerdictOpen},
		"the other":        {988, 1900, claim.VerdictOpen},
		"just not short":   {1012, 1988, claim.VerdictRight},
		"just too short":   {1013, 2012, claim.VerdictOpen},
		"just too short 2": {988, 1987, claim.VerdictOpen},
	} {
		c := starter(t)
		c.did("ends/aileron/left", map[int][]float64{1: {1500, x.left}})
		assert.Equal(t, claim.VerdictOpen, c.verdict("clip/aileron"), "one stop is not both")
		c.did("ends/aileron/right", map[int][]float64{1: {1500, x.right}})
		assert.Equal(t, x.want, c.verdict("clip/aileron"), name)
	}
}

// Another control's answer says nothing of this one.
func TestASticksOwnAnswers(t *testing.T) {
	c := starter(t)
	for _, p := range []string{"order/elevator/left", "ends/elevator/left", "order/aileron/up", "ends/aileron/up", "order/aileron", "else/aileron/left"} {
		c.did(p, fullLeft)
	}
	assert.Equal(t, map[string]claim.Verdict{answering: claim.VerdictRight}, c.verdicts())
}

// What drills have shown of a stick is forgotten when it is reopened, and only then.
func TestSticksReopened(t *testing.T) {
	for what, want := range map[string]claim.Verdict{"aileron": claim.VerdictOpen, claim.TopicAll: claim.VerdictOpen, "elevator": claim.VerdictRight} {
		for id, drill := range map[string]string{"order/aileron": "order", "alone/aileron": "order", "clip/aileron": "ends"} {
			c := starter(t)
			c.did(drill+"/aileron/left", fullLeft)
			c.hear(event.Reopened, "session", event.ReopenData{What: what})
			c.did(drill+"/aileron/right", fullRight)
			assert.Equal(t, want, c.verdict(id), "%s, %s reopened", id, what)
			c.did(drill+"/aileron/left", fullLeft)
			assert.Equal(t, claim.VerdictRight, c.verdict(id))
		}
	}
}

func TestRestsToTheEdgeOfTheTolerance(t *testing.T) {
	for _, x := range []struct {
		prompt, id string
		channel    int
		width      float64
		want       claim.Verdict
	}{
		{"neutral/sticks", "neutral/aileron", 1, 1508, claim.VerdictRight}, {"neutral/sticks", "neutral/aileron", 1, 1508.1, claim.VerdictWrong},
		{"neutral/sticks", "neutral/aileron", 1, 1491.9, claim.VerdictWrong}, {"neutral/sticks", "neutral/aileron", 1, 1492, claim.VerdictRight},
		{"neutral/idle", "idle/throttle", 3, 1018, claim.VerdictRight}, {"neutral/idle", "idle/throttle", 3, 1019, claim.VerdictWrong},
		{"neutral/cut", "cut/throttle", 3, 996, claim.VerdictRight}, {"neutral/cut", "cut/throttle", 3, 997, claim.VerdictWrong},
		{"neutral/cut-full", "cut/throttle", 3, 996, claim.VerdictRight}, {"neutral/cut-full", "cut/throttle", 3, 1010, claim.VerdictWrong},
	} {
		c := starter(t)
		c.answers()
		c.did(x.prompt, map[int][]float64{x.channel: {x.width}})
		assert.Equal(t, x.want, c.verdict(x.id), "%s at %v", x.prompt, x.width)
	}
}
