package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/fact"
)

func TestASwitchIsJudgedByItsOwnEvents(t *testing.T) {
	c := starter(t)
	c.hear(fact.SwitchMoved, "switch:sel-b", fact.SwitchData{To: "back", Was: "front", WidthNS: 988_000, Within: true, Signal: fact.Live})
	assert.Equal(t, claim.Open, c.verdict("position/sel-b/back"), "it never moved so far")
	c.hear(fact.SwitchMoved, "switch:sel-b", fact.SwitchData{To: "front", Was: "back", WidthNS: 2_012_000, Within: true, Signal: fact.Live})
	assert.Equal(t, claim.Right, c.verdict("position/sel-b/back"))
	assert.Equal(t, claim.Open, c.verdict("position/sel-a/back"))
	k := c.claim("position/sel-b/back")
	assert.Equal(t, "at back sel-b stands at 988 µs on the bus, 0 µs from where the sheet puts it", k.Sentence)
	assert.Equal(t, map[string]int64{"width_ns": 988_000, "off_ns": 0}, k.Figures)
}

// Two odd widths for two places are told by their order, whatever order they were
// seen in, and whatever order the sheet has.
func TestOddWidthsAreToldByTheirOrder(t *testing.T) {
	const swapped = `sheet: 1
model: Table
channels:
  10: {name: sel-a, kind: switch, positions: {front: 2012, middle: 1500, back: 988}}
`
	for name, widths := range map[string][]float64{"upwards": {1500, 1100, 1900}, "downwards": {1500, 1900, 1100}} {
		for sheet, c := range map[string]*court{"starter": starter(t), "swapped": open(t, swapped)} {
			for _, w := range widths {
				c.stands("sel-a", w)
			}
			assert.Contains(t, c.claim("position/sel-a/back").Sentence, "at back sel-a stands at 1100 µs on the bus, 112 µs too wide", "%s, %s", name, sheet)
			assert.Contains(t, c.claim("position/sel-a/front").Sentence, "at front sel-a stands at 1900 µs on the bus, 112 µs too narrow", "%s, %s", name, sheet)
		}
	}
}

// A right place seen again says nothing against a width that is one too many.
func TestOneTooManyIsToldWhereItIsSeen(t *testing.T) {
	c := starter(t)
	for _, w := range []float64{988, 1500, 2012} {
		c.stands("sel-a", w)
	}
	c.stands("sel-a", 1260) // nearest to the middle
	assert.Equal(t, claim.Wrong, c.verdict("position/sel-a/middle"))
	c.stands("sel-a", 2012)
	assert.Equal(t, claim.Right, c.verdict("position/sel-a/front"))
	assert.Equal(t, claim.Right, c.verdict("position/sel-a/back"))
}

func TestAMomentaryHasTwoPlaces(t *testing.T) {
	c := starter(t)
	for _, w := range []float64{1500, 988, 2012} {
		c.stands("learn", w)
	}
	assert.Equal(t, claim.Wrong, c.verdict("momentary/learn"), "a third place is one too many")
	c = starter(t)
	for _, w := range []float64{988, 1500, 988} {
		c.stands("learn", w)
	}
	assert.NotEqual(t, claim.Right, c.verdict("momentary/learn"), "pressed it never was")
	c = starter(t)
	for _, w := range []float64{988, 2012, 988} {
		c.stands("learn", w)
	}
	assert.Equal(t, "learn rests at 988 µs, goes to 2012 µs when pressed and came back", c.claim("momentary/learn").Sentence)
}

// What was seen of a switch is forgotten when it is reopened, and only then.
func TestPlacesReopened(t *testing.T) {
	for what, want := range map[string]claim.Verdict{"sel-a": claim.Open, claim.Everything: claim.Open, "sel-b": claim.Wrong} {
		c := starter(t)
		c.stands("sel-a", 988)
		c.stands("sel-a", 1500)
		c.hear(fact.Reopened, "session", fact.ReopenData{What: what})
		c.stands("sel-a", 1800)
		assert.Equal(t, want, c.verdict("position/sel-a/front"), "%s: by elimination only of what still holds", what)
	}
}

// Where a channel rests that never moved shows nothing, whatever rests there. A fixed
// one is to rest.
func TestAChannelThatNeverMoved(t *testing.T) {
	const id = "position/sel-a/middle"
	c := starter(t)
	for _, w := range []float64{1500, 1509, 1500, 1519.9} {
		c.stands("sel-a", w)
	}
	assert.Empty(t, c.claim(id).Evidence)
	assert.Equal(t, claim.Open, c.verdict(id))
	assert.Equal(t, "sel-a stands at 1500 µs, but it never moved: whatever rests there shows nothing; work its switch", c.claim(id).Sentence)
	seen := fact.Span{From: c.now - 1200*fact.Millisecond, To: c.now - fact.Second}
	c.standsUnder("sel-a", 2012, fact.Failsafe, false)
	assert.Equal(t, claim.Open, c.verdict(id), "a receiver moved it")
	c.stands("sel-a", 2012)
	assert.Equal(t, claim.Right, c.verdict(id))
	assert.Equal(t, []fact.Span{seen}, c.claim(id).Evidence, "of the moment at which it was seen")
	assert.Equal(t, claim.Right, c.verdict("position/sel-a/front"))

	c = open(t, "sheet: 1\nmodel: Table\nchannels:\n  9: {name: gain, kind: fixed, value: 1756}\n")
	c.stands("gain", 1756)
	assert.Equal(t, map[string]claim.Verdict{"position/gain/value": claim.Right, "answers/controls": claim.Right}, c.verdicts())
}
