package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

const oneSided = `sheet: 1
model: Table
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  9: {name: gain, kind: knob, ends: {anticlockwise: 1500, clockwise: 2012}}
gain: {channel: gain, law: one-sided, zero: 1500, full: 2012}
`

const wholeTurn = `sheet: 1
model: Table
channels:
  9: {name: gain, kind: knob, ends: {anticlockwise: 988, clockwise: 2012}}
gain: {channel: gain, law: folded, zero: 1500, full: [988, 2012]}
`

const fixedGain = `sheet: 1
model: Table
channels:
  9: {name: gain, kind: fixed, value: 1756}
gain: {channel: gain, law: folded, zero: 1500, full: [988, 2012]}
`

// The same law, its lower side used.
const otherHalf = `sheet: 1
model: Table
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  9: {name: gain, kind: knob, ends: {anticlockwise: 1500, clockwise: 988}}
gain: {channel: gain, law: folded, zero: 1500, full: [988, 2012]}
`

// turns is a sweep of channel 9.
func turns(least, most float64) event.GainSweptData {
	return event.GainSweptData{Tap: "main", Channel: 9, LeastNS: unit.Width(least * 1000), MostNS: unit.Width(most * 1000), Signal: event.SignalLive}
}

// How far the knob turns: the sheet's ends are 1500 and 2012 µs, 12 µs either way.
func TestGainSweeps(t *testing.T) {
	of := func(channel int) event.GainSweptData { d := turns(1500, 2012); d.Channel = channel; return d }
	under := func(s event.Signal, suspect bool) event.GainSweptData {
		d := turns(1500, 2012)
		d.Signal, d.Suspect = s, suspect
		return d
	}
	for _, c := range []struct {
		name   string
		sweeps []event.GainSweptData
		span   claim.Verdict
		fold   claim.Verdict
	}{
		{"from end to end", []event.GainSweptData{turns(1500, 2012)}, claim.VerdictRight, claim.VerdictRight},
		{"as far as the tolerance", []event.GainSweptData{turns(1488, 2024)}, claim.VerdictRight, claim.VerdictRight},
		{"short by as much", []event.GainSweptData{turns(1512, 2000)}, claim.VerdictRight, claim.VerdictRight},
		{"in two turns", []event.GainSweptData{turns(1500, 1700), turns(1700, 2012)}, claim.VerdictRight, claim.VerdictRight},
		{"short of its lower end", []event.GainSweptData{turns(1513, 2012)}, claim.VerdictOpen, claim.VerdictOpen},
		{"short of its upper end", []event.GainSweptData{turns(1500, 1999)}, claim.VerdictOpen, claim.VerdictOpen},
		{"beyond its lower end", []event.GainSweptData{turns(1487, 2012)}, claim.VerdictWrong, claim.VerdictWrong},
		{"beyond its upper end", []event.GainSweptData{turns(1600, 2025)}, claim.VerdictWrong, claim.VerdictOpen},
		{"through no gain, but never beyond", []event.GainSweptData{turns(988, 1500)}, claim.VerdictWrong, claim.VerdictOpen},
		{"through no gain in two turns", []event.GainSweptData{turns(988, 1500), turns(1500, 2012)}, claim.VerdictWrong, claim.VerdictWrong},
		{"another channel", []event.GainSweptData{of(1)}, claim.VerdictOpen, claim.VerdictOpen},
		{"the receiver's", []event.GainSweptData{under(event.SignalFailsafe, false), under(event.SignalMissed, false)}, claim.VerdictOpen, claim.VerdictOpen},
		{"a leap", []event.GainSweptData{under(event.SignalLive, true)}, claim.VerdictOpen, claim.VerdictOpen},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := starter(t)
			for _, d := range c.sweeps {
				k.hear(event.GainSwept, "channel:9", d)
			}
			assert.Equal(t, c.span, k.verdict("gain/span"))
			assert.Equal(t, c.fold, k.verdict("gain/fold"))
		})
	}
}

func TestGainSaysHowFarItTurned(t *testing.T) {
	c := starter(t)
	c.hear(event.GainSwept, "channel:9", turns(1495, 2010))
	k := c.claim("gain/span")
	assert.Equal(t, "gain turns from 1495 µs to 2010 µs", k.Sentence)
	assert.Equal(t, map[string]int64{"least_ns": 1_495_000, "most_ns": 2_010_000}, k.Figures)
}

// The centre of the turn is half gain, 1756 µs, within a twentieth of its range of 512 µs.
func TestGainInItsCentre(t *testing.T) {
	for width, want := range map[float64]claim.Verdict{1756: claim.VerdictRight, 1781.6: claim.VerdictRight,
		1781.7: claim.VerdictWrong, 1730.4: claim.VerdictRight, 1730.3: claim.VerdictWrong} {
		c := starter(t)
		c.did("gain/centre", map[int][]float64{9: {width}})
		assert.Equal(t, claim.VerdictOpen, c.verdict("gain/half"), "nothing has answered yet")
		c.answers()
		c.did("gain/centre", map[int][]float64{9: {width}})
		assert.Equal(t, want, c.verdict("gain/half"), width)
	}
}

func TestGainAtItsEnds(t *testing.T) {
	for width, want := range map[float64]claim.Verdict{2012: claim.VerdictOpen, 2000: claim.VerdictOpen, 1999: claim.VerdictWrong} {
		c := starter(t)
		c.answers()
		c.did("gain/clockwise", map[int][]float64{9: {width}})
		assert.Equal(t, want, c.verdict("gain/span"), width)
	}
}

// Only a knob has a turn, and only under a law that folds, with ends on one side of
// it, there is a fold to avoid.
func TestWhatIsClaimedOfAGain(t *testing.T) {
	for text, want := range map[string][]string{
		string(sheettest.TwoSwitches()): {"gain/span", "gain/fold", "gain/half"},
		oneSided:                        {"gain/span", "gain/half"},
		wholeTurn:                       {"gain/span", "gain/half"},
		fixedGain:                       nil,
		otherHalf:                       {"gain/span", "gain/fold", "gain/half"},
	} {
		c := open(t, text)
		c.hear(event.GainSwept, "channel:9", turns(988, 2012))
		var got []string
		for _, k := range c.book.Claims() {
			if strings.HasPrefix(k.ID, "gain/") {
				got = append(got, k.ID)
			}
		}
		assert.Equal(t, want, got)
	}
}

func TestGainReopened(t *testing.T) {
	for what, want := range map[string]claim.Verdict{"gain": claim.VerdictStale, claim.TopicAll: claim.VerdictStale, "inner": claim.VerdictRight} {
		c := starter(t)
		c.hear(event.GainSwept, "channel:9", turns(1500, 2012))
		c.hear(event.Reopened, "session", event.ReopenData{What: what})
		c.hear(event.GainSwept, "channel:9", turns(1500, 1700))
		assert.Equal(t, want, c.verdict("gain/span"), "%s: one end is not enough, again", what)
		c.hear(event.GainSwept, "channel:9", turns(1700, 2012))
		assert.Equal(t, claim.VerdictRight, c.verdict("gain/span"))
	}
	c := starter(t)
	c.hear(event.GainSwept, "channel:9", turns(1500, 1700))
	c.hear(event.Reopened, "session", event.ReopenData{What: "inner"})
	c.hear(event.GainSwept, "channel:9", turns(1700, 2012))
	assert.Equal(t, claim.VerdictRight, c.verdict("gain/span"), "what has nothing to do with it")
}

// How far it went before it was reopened says nothing any more.
func TestHowFarAKnobWentIsForgotten(t *testing.T) {
	for what, want := range map[string]claim.Verdict{"gain": claim.VerdictRight, claim.TopicAll: claim.VerdictRight, "inner": claim.VerdictWrong} {
		c := starter(t)
		c.hear(event.GainSwept, "channel:9", turns(988, 2012))
		c.hear(event.Reopened, "session", event.ReopenData{What: what})
		c.hear(event.GainSwept, "channel:9", turns(1500, 2012))
		assert.Equal(t, want, c.verdict("gain/span"), what)
		assert.Equal(t, want, c.verdict("gain/fold"), what)
	}
}

// Either side of a folded law may be the one that is used.
func TestGainOnTheOtherHalf(t *testing.T) {
	for _, x := range []struct {
		name       string
		sweeps     []event.GainSweptData
		span, fold claim.Verdict
		says       string
	}{
		{"from end to end", []event.GainSweptData{turns(988, 1500)}, claim.VerdictRight, claim.VerdictRight, "turns from 988 µs to 1500 µs"},
		{"a plain knob", []event.GainSweptData{turns(988, 2012)}, claim.VerdictWrong, claim.VerdictWrong,
			"goes from 988 µs to 2012 µs, beyond the sheet's 988 µs to 1500 µs: give it a curve in the transmitter that sends " +
				"one side only"},
		{"through the dead point, which it rests at", []event.GainSweptData{turns(1500, 2012), turns(988, 1500)}, claim.VerdictWrong,
			claim.VerdictWrong, "give it a curve in the transmitter that sends one side only"},
		{"the other side so far", []event.GainSweptData{turns(1500, 2012)}, claim.VerdictWrong, claim.VerdictOpen,
			"that is the other side of no gain: if it never leaves that, reverse channel 9 in the transmitter, else give the " +
				"knob a curve"},
		{"too far", []event.GainSweptData{turns(900, 1500)}, claim.VerdictWrong, claim.VerdictOpen,
			"set its ends in the transmitter, by the travel of channel 9 or by the knob's curve"},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := open(t, otherHalf)
			for _, d := range x.sweeps {
				c.hear(event.GainSwept, "channel:9", d)
			}
			assert.Equal(t, x.span, c.verdict("gain/span"))
			assert.Equal(t, x.fold, c.verdict("gain/fold"))
			assert.Contains(t, c.claim("gain/span").Sentence, x.says)
		})
	}
}

// What the centre of the turn is, the law says.
func TestWhatTheCentreIs(t *testing.T) {
	for text, want := range map[string]string{
		oneSided:  "gain in the centre of its turn is half gain, 1756 µs",
		otherHalf: "gain in the centre of its turn is half gain, 1244 µs",
		wholeTurn: "gain in the centre of its turn is no gain, 1500 µs",
		strings.Replace(oneSided, "anticlockwise: 1500", "anticlockwise: 1600", 1): "gain in the centre of its turn is the middle of its range, 1806 µs",
	} {
		assert.Equal(t, want, open(t, text).claim("gain/half").Sentence)
	}
}
