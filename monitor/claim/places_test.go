package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

func TestASwitchIsJudgedByItsOwnEvents(t *testing.T) {
	c := starter(t)
	c.hear(event.SwitchMoved, "switch:outer", event.SwitchData{To: "back", Was: "front", WidthNS: 988_000, Within: true, Signal: event.SignalLive})
	assert.Equal(t, claim.VerdictOpen, c.verdict("position/outer/back"), "it never moved so far")
	c.hear(event.SwitchMoved, "switch:outer", event.SwitchData{To: "front", Was: "back", WidthNS: 2_012_000, Within: true, Signal: event.SignalLive})
	assert.Equal(t, claim.VerdictRight, c.verdict("position/outer/back"))
	assert.Equal(t, claim.VerdictOpen, c.verdict("position/inner/back"))
	k := c.claim("position/outer/back")
	assert.Equal(t, "at back outer stands at 988 µs on the bus, 0 µs from where the sheet puts it", k.Sentence)
	assert.Equal(t, map[string]int64{"width_ns": 988_000, "off_ns": 0}, k.Figures)
}

// Two odd widths for two places are known by their order, whatever order they were
// seen in, and whatever order the sheet has.
func TestOddWidthsAreToldByTheirOrder(t *testing.T) {
	const swapped = `sheet: 1
model: Table
channels:
  11: {name: inner, kind: switch, positions: {front: 2012, middle: 1500, back: 988}}
`
	for name, widths := range map[string][]float64{"upwards": {1500, 1100, 1900}, "downwards": {1500, 1900, 1100}} {
		for sheet, c := range map[string]*court{"starter": starter(t), "swapped": open(t, swapped)} {
			for _, w := range widths {
				c.stands("inner", w)
			}
			assert.Contains(t, c.claim("position/inner/back").Sentence, "at back inner stands at 1100 µs on the bus, 112 µs above the sheet's", "%s, %s", name, sheet)
			assert.Contains(t, c.claim("position/inner/front").Sentence, "at front inner stands at 1900 µs on the bus, 112 µs below the sheet's", "%s, %s", name, sheet)
		}
	}
}

// A right place seen again says nothing against a width that is one too many.
func TestOneTooManyIsToldWhereItIsSeen(t *testing.T) {
	c := starter(t)
	for _, w := range []float64{988, 1500, 2012} {
		c.stands("inner", w)
	}
	c.stands("inner", 1260) // nearest to the middle
	assert.Equal(t, claim.VerdictWrong, c.verdict("position/inner/middle"))
	c.stands("inner", 2012)
	assert.Equal(t, claim.VerdictRight, c.verdict("position/inner/front"))
	assert.Equal(t, claim.VerdictRight, c.verdict("position/inner/back"))
}

func TestAMomentaryHasTwoPlaces(t *testing.T) {
	c := starter(t)
	for _, w := range []float64{1500, 988, 2012} {
		c.stands("teach", w)
	}
	assert.Equal(t, claim.VerdictWrong, c.verdict("momentary/teach"), "a third place is one too many")
	c = starter(t)
	for _, w := range []float64{988, 1500, 988} {
		c.stands("teach", w)
	}
	assert.NotEqual(t, claim.VerdictRight, c.verdict("momentary/teach"), "pressed it never was")
	c = starter(t)
	for _, w := range []float64{977, 999, 988} { // all at rest, by its tolerance
		c.stands("teach", w)
	}
	assert.Equal(t, claim.VerdictOpen, c.verdict("momentary/teach"), "it stirred, but was not pressed")
	c = starter(t)
	for _, w := range []float64{988, 2012, 988} {
		c.stands("teach", w)
	}
	assert.Equal(t, "teach rests at 988 µs, goes to 2012 µs when pressed and came back", c.claim("momentary/teach").Sentence)
}

// What was seen of a switch is forgotten when it is reopened, and only then.
func TestPlacesReopened(t *testing.T) {
	for what, want := range map[string]claim.Verdict{"inner": claim.VerdictOpen, claim.TopicAll: claim.VerdictOpen, "outer": claim.VerdictWrong} {
		c := starter(t)
		c.stands("inner", 988)
		c.stands("inner", 1500)
		c.hear(event.Reopened, "session", event.ReopenData{What: what})
		c.stands("inner", 1800)
		assert.Equal(t, want, c.verdict("position/inner/front"), "%s: by elimination only of what still holds", what)
	}
}

// Where a channel rests that never moved shows nothing, whatever rests there. A fixed
// one is to rest.
func TestAChannelThatNeverMoved(t *testing.T) {
	const id = "position/inner/middle"
	c := starter(t)
	for _, w := range []float64{1500, 1509, 1500, 1519.9} {
		c.stands("inner", w)
	}
	assert.Empty(t, c.claim(id).Evidence)
	assert.Equal(t, claim.VerdictOpen, c.verdict(id))
	assert.Equal(t, "inner stands at 1500 µs, but was not seen to move: whatever rests there shows nothing; work its switch", c.claim(id).Sentence)
	seen := event.Span{From: c.now.Add(-1200 * unit.Millisecond), To: c.now.Add(-unit.Second)}
	c.standsUnder("inner", 2012, event.SignalFailsafe, false)
	assert.Equal(t, claim.VerdictOpen, c.verdict(id), "a receiver moved it")
	c.stands("inner", 2012)
	assert.Equal(t, claim.VerdictRight, c.verdict(id))
	assert.Equal(t, []event.Span{seen}, c.claim(id).Evidence, "of the moment at which it was seen")
	assert.Equal(t, claim.VerdictRight, c.verdict("position/inner/front"))

	c = open(t, "sheet: 1\nmodel: Table\nchannels:\n  9: {name: gain, kind: fixed, value: 1756}\n")
	c.stands("gain", 1756)
	assert.Equal(t, map[string]claim.Verdict{"position/gain/value": claim.VerdictRight, "answers/controls": claim.VerdictRight}, c.verdicts())
}

// What stood before a silence may have been a receiver's that waits for its transmitter: it counts
// only where the channel moved before.
func TestWhatStoodBeforeASilence(t *testing.T) {
	locked := func(c *court) { c.hear(event.BusLocked, "tap:main", event.LockedData{}) }
	c := starter(t)
	c.stands("outer", 1500)
	locked(c)
	c.stands("outer", 988)
	assert.Equal(t, claim.VerdictOpen, c.verdict("position/outer/front"), "1500 was no place of it")
	assert.Equal(t, claim.VerdictOpen, c.verdict("position/outer/back"), "nor has it moved")
	c.stands("outer", 2012)
	locked(c)
	c.stands("outer", 988)
	assert.Equal(t, claim.VerdictRight, c.verdict("position/outer/front"))
	assert.Equal(t, claim.VerdictRight, c.verdict("position/outer/back"))
}
