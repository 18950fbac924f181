package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet/sheettest"
)

// step is an answer of the order drill.
type step struct {
	prompt string
	moves  map[int][]float64
}

// axis is the aileron stick to its ends and back, and another channel that is at these
// widths at left, at right and at neutral.
func axis(channel int, left, right, neutral float64) []step {
	return []step{
		{"order/aileron/left", map[int][]float64{1: {1500, 988}, channel: {neutral, left}}},
		{"order/aileron/right", map[int][]float64{1: {988, 2012}, channel: {left, right}}},
		{"order/aileron/neutral", map[int][]float64{1: {2012, 1500}, channel: {right, neutral}}},
	}
}

func (c *court) drilled(steps []step) {
	c.t.Helper()
	for _, s := range steps {
		c.did(s.prompt, s.moves)
	}
}

// during has another channel do something else at one of the steps.
func during(steps []step, at, channel int, widths ...float64) []step {
	steps[at].moves[channel] = widths
	return steps
}

// What moves along and comes back along is driven by the stick; another stick is, where it
// was so at both ends. What moved once is a hand's, or nobody knows.
func TestWhatMovesAlong(t *testing.T) {
	const plain = ""
	mixed := strings.Replace(string(sheettest.TwoSwitches()), "mixes_wanted: []", "mixes_wanted: [{from: aileron, to: rudder, at_most: 160 us}]", 1)
	require.Contains(t, mixed, "at_most: 160 us")
	for _, x := range []struct {
		name, sheet string
		steps       []step
		want        claim.Verdict
	}{
		{"nothing", plain, axis(4, 1500, 1500, 1500), claim.VerdictRight},
		{"59 µs", plain, axis(4, 1441, 1559, 1500), claim.VerdictRight},
		{"60 µs", plain, axis(4, 1440, 1560, 1500), claim.VerdictWrong},
		{"60 µs against it", plain, axis(4, 1560, 1440, 1500), claim.VerdictWrong},
		{"one way at both ends", plain, axis(4, 1600, 1600, 1500), claim.VerdictWrong},
		{"a bit more at one end", plain, axis(4, 1400, 1650, 1500), claim.VerdictWrong},
		{"much more at one end: a hand's", plain, axis(4, 1400, 1651, 1500), claim.VerdictOpen},
		{"a hand that pushes once", plain, axis(4, 1500, 1600, 1500), claim.VerdictOpen},
		{"another channel, by a mix to one end", plain, axis(9, 1500, 1600, 1500), claim.VerdictWrong},
		{"a knob that is turned at left, by hand", plain, during(during(axis(9, 1891, 1891, 1500), 2, 9, 1891, 1891), 1, 9, 1891, 1891), claim.VerdictOpen},
		{"a knob that is turned on and on", plain, during(axis(9, 1600, 1700, 1500), 2, 9, 1700, 1800), claim.VerdictOpen},
		{"back by two thirds", plain, during(axis(9, 1600, 1650, 1500), 2, 9, 1650, 1534), claim.VerdictWrong},
		{"back by less", plain, during(axis(9, 1600, 1650, 1500), 2, 9, 1650, 1540), claim.VerdictOpen},
		{"a knob on the way back", plain, during(axis(9, 1500, 1500, 1500), 2, 9, 1500, 1891), claim.VerdictRight},
		{"there and back while it is held", plain, during(axis(4, 1500, 1500, 1500), 1, 4, 1500, 1400, 1500), claim.VerdictOpen},
		{"the heartbeat", plain, axis(16, 1000, 2000, 1500), claim.VerdictRight},
		{"a channel that the sheet doesn't name", plain, axis(12, 1000, 2000, 1500), claim.VerdictWrong},
		{"a mix that is wanted", mixed, axis(4, 1340, 1660, 1500), claim.VerdictRight},
		{"more of it than is wanted", mixed, axis(4, 1339.9, 1660.1, 1500), claim.VerdictWrong},
		{"another than is wanted", mixed, axis(2, 1400, 1600, 1500), claim.VerdictWrong},
	} {
		t.Run(x.name, func(t *testing.T) {
			text := x.sheet
			if text == plain {
				text = string(sheettest.TwoSwitches())
			}
			c := open(t, text)
			c.did(x.steps[0].prompt, x.steps[0].moves)
			assert.Equal(t, claim.VerdictOpen, c.verdict("alone/aileron"), "one end is not enough")
			c.did(x.steps[1].prompt, x.steps[1].moves)
			assert.NotEqual(t, claim.VerdictWrong, c.verdict("alone/aileron"), "it is not over before it is back")
			c.did(x.steps[2].prompt, x.steps[2].moves)
			assert.Equal(t, x.want, c.verdict("alone/aileron"), c.claim("alone/aileron").Sentence)
			assert.Equal(t, claim.VerdictRight, c.verdict("order/aileron"))
			if x.want == claim.VerdictOpen {
				assert.Contains(t, c.claim("alone/aileron").Sentence, "moved too, by a mix or by a hand: leave all other controls alone, and do the drill order again")
				c.drilled(axis(4, 1500, 1500, 1500))
				assert.Equal(t, claim.VerdictRight, c.verdict("alone/aileron"), "it was done again")
			}
		})
	}
	c := open(t, mixed)
	for _, p := range []step{{"left", map[int][]float64{4: {1500, 988}, 1: {1500, 1600}}},
		{"right", map[int][]float64{4: {988, 2012}, 1: {1600, 1400}}},
		{"neutral", map[int][]float64{4: {2012, 1500}, 1: {1400, 1500}}}} {
		c.did("order/rudder/"+p.prompt, p.moves)
	}
	assert.Equal(t, claim.VerdictWrong, c.verdict("alone/rudder"), "a mix has a direction")
}

// A throttle has two ends and no neutral between: up and down are all that there is.
func TestWhatMovesAlongWithTheThrottle(t *testing.T) {
	const mix = "mixes_wanted: [{from: throttle, to: rudder, at_most: 100 us}]"
	for rudder, want := range map[float64]claim.Verdict{1600: claim.VerdictRight, 1600.1: claim.VerdictWrong} {
		c := open(t, strings.Replace(string(sheettest.TwoSwitches()), "mixes_wanted: []", mix, 1))
		c.did("order/throttle/full", map[int][]float64{3: {1010, 2012}, 4: {1500, rudder}})
		assert.Equal(t, claim.VerdictOpen, c.verdict("alone/throttle"))
		c.did("order/throttle/idle", map[int][]float64{3: {2012, 1010}, 4: {rudder, 1500}})
		assert.Equal(t, want, c.verdict("alone/throttle"), rudder)
	}
}

// A control whose own channel stands still has another's place if that goes with it, to
// both ends and back.
func TestWhatMovesInstead(t *testing.T) {
	still := func(steps []step) []step {
		for _, s := range steps {
			delete(s.moves, 1)
		}
		return steps
	}
	for _, x := range []struct {
		name  string
		steps []step
		want  claim.Verdict
		says  string
	}{
		{"another stick's channel", still(axis(2, 988, 2012, 1500)), claim.VerdictWrong,
			"aileron moved channel 2 (elevator) by 512 µs instead of channel 1: exchange the channels' sources"},
		{"two channels",
			still(during(during(during(axis(2, 988, 2012, 1500), 0, 12, 1500, 988), 1, 12, 988, 2012), 2, 12, 2012, 1500)),
			claim.VerdictWrong, "aileron moved channel 2 (elevator) by 512 µs and channel 12 by 512 µs instead of channel 1"},
		{"a channel without a name", still(axis(12, 988, 2012, 1500)), claim.VerdictWrong, "aileron moved channel 12 by 512 µs instead of channel 1"},
		{"a knob that is turned by hand",
			still(during(during(axis(9, 1891, 1891, 1500), 1, 9, 1891, 1891), 2, 9, 1891, 1891)), claim.VerdictOpen,
			"aileron to right: channel 1 did not move, but channel 9 (gain) by 391 µs: was another control moved?"},
		{"another stick, once", still(axis(2, 988, 1500, 1500)), claim.VerdictOpen, "was another control moved?"},
		{"nothing", still(axis(2, 1500, 1500, 1500)), claim.VerdictOpen, "aileron moves channel 1, and the right way"},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.answers()
			c.drilled(x.steps)
			assert.Equal(t, x.want, c.verdict("order/aileron"))
			assert.Contains(t, c.claim("order/aileron").Sentence, x.says)
			assert.Equal(t, claim.VerdictOpen, c.verdict("alone/aileron"))
		})
	}
}

// What went along before something was reopened says nothing any more.
func TestWhatWentAlongIsForgotten(t *testing.T) {
	for what, want := range map[string]claim.Verdict{"aileron": claim.VerdictOpen, "elevator": claim.VerdictWrong} {
		c := starter(t)
		steps := axis(4, 1400, 1600, 1500)
		c.drilled(steps[:2])
		c.hear(event.Reopened, "session", event.ReopenData{What: what})
		c.drilled(steps[2:])
		assert.Equal(t, want, c.verdict("alone/aileron"), what)
	}
}

// Each time that the drill is done, it begins anew.
func TestTheOrderDrillAgain(t *testing.T) {
	c := starter(t)
	c.drilled(during(axis(4, 1400, 1400, 1500), 2, 4, 1400, 1400)) // pushed, and left there
	c.drilled(axis(4, 1400, 1400, 1400))
	assert.Equal(t, claim.VerdictRight, c.verdict("alone/aileron"))
}

// An end at which something moved too does not count, though it was alone once.
func TestAnEndThatIsNotAloneAnyMore(t *testing.T) {
	c := starter(t)
	alone, pushed := axis(4, 1500, 1500, 1500), axis(4, 1600, 1500, 1500)
	c.drilled([]step{alone[0], pushed[0], alone[1], alone[2]})
	assert.Equal(t, claim.VerdictOpen, c.verdict("alone/aileron"))
}

// A control that was at its end and is back when the builder answers shows neither which way it
// goes nor how far it reaches, though a count of jitter lies between where it was and where it is.
func TestAControlThatWasLetGoAgain(t *testing.T) {
	for _, x := range []struct {
		name  string
		moves []float64
		want  [2]claim.Verdict // of its order, and of its end
	}{
		{"held", []float64{1500, 988}, [2]claim.Verdict{claim.VerdictOpen, claim.VerdictRight}},
		{"back to where it was", []float64{1500, 988, 1500}, [2]claim.Verdict{claim.VerdictOpen, claim.VerdictOpen}},
		{"back, a count to the other side", []float64{1500, 988, 1501.6}, [2]claim.Verdict{claim.VerdictOpen, claim.VerdictOpen}},
		{"back, a count to this side", []float64{1500, 988, 1498.4}, [2]claim.Verdict{claim.VerdictOpen, claim.VerdictOpen}},
		{"reversed, and held", []float64{1500, 2012}, [2]claim.Verdict{claim.VerdictWrong, claim.VerdictOpen}},
		{"reversed, and back", []float64{1500, 2012, 1501.6}, [2]claim.Verdict{claim.VerdictOpen, claim.VerdictOpen}},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.did("order/aileron/left", map[int][]float64{1: x.moves})
			c.did("ends/aileron/left", map[int][]float64{1: x.moves})
			assert.Equal(t, x.want, [2]claim.Verdict{c.verdict("order/aileron"), c.verdict("travel/aileron/left")})
		})
	}
}
