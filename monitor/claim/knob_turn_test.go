package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
)

// The gain drill, its prompts in the order of the plan: where the knob stood before and
// at each. Other channels may move with it.
func (c *court) turned(along map[int][]float64, widths ...float64) {
	c.t.Helper()
	for i, step := range []string{"anticlockwise", "clockwise", "centre"} {
		if i+1 == len(widths) {
			return
		}
		moves := map[int][]float64{9: {widths[i], widths[i+1]}}
		for channel, w := range along {
			moves[channel] = []float64{w[i], w[i+1]}
		}
		c.did("gain/"+step, moves)
	}
}

const (
	source = "turning it reached nothing on channel 9: give the channel the knob as its source in the transmitter, or " +
		"take off what holds it, a fixed value or a flat curve"
	which = "or turning the knob does not reach"
)

// The sheet: 1500 µs anticlockwise, 2012 µs clockwise, half gain at 1756 µs.
func TestWhatIsWrongWithAKnob(t *testing.T) {
	for _, x := range []struct {
		name        string
		along       map[int][]float64
		widths      []float64
		span, half  claim.Verdict
		says, says2 string
	}{
		{"nothing", nil, []float64{1700, 1500, 2012, 1756}, claim.VerdictRight, claim.VerdictRight, "gain turns from 1500 µs to 2012 µs", "0 µs from half gain"},
		{"reversed", nil, []float64{1700, 2012, 1500, 1756}, claim.VerdictWrong, claim.VerdictRight,
			"gain fully clockwise stands at 1500 µs, not at the sheet's 2012 µs: turning it there moved channel 9 from 2012 " +
				"µs, the wrong way: reverse the channel in the transmitter", ""},
		{"reversed, and it stood at its end", nil, []float64{2012, 2012, 1500, 1756}, claim.VerdictWrong, claim.VerdictRight,
			"the wrong way: reverse the channel in the transmitter", ""},
		{"reversed, one end seen", nil, []float64{2012, 2012}, claim.VerdictWrong, claim.VerdictOpen,
			"it did not move. Either channel 9 is reversed in the transmitter, " + which +
				" it; turn it fully clockwise, that tells which", ""},
		{"reversed and without its curve", nil, []float64{1700, 2012, 988, 1500}, claim.VerdictWrong, claim.VerdictWrong,
			"the wrong way: reverse the channel", "its ends are not the sheet's: set those first, then do the drill gain again"},
		{"dead at no gain", nil, []float64{1500, 1500, 1500, 1500}, claim.VerdictWrong, claim.VerdictWrong, source, source},
		{"dead at full gain", nil, []float64{2012, 2012, 2012, 2012}, claim.VerdictOpen, claim.VerdictWrong, which, source},
		{"dead in between", nil, []float64{1700, 1700, 1700, 1700}, claim.VerdictWrong, claim.VerdictWrong, source, source},
		{"dead, one end seen", nil, []float64{1700, 1700}, claim.VerdictWrong, claim.VerdictOpen,
			"it did not move. Either that end is set wrong in the transmitter, " + which +
				" channel 9; turn it fully clockwise, that tells which", ""},
		{"another channel moves", map[int][]float64{8: {1500, 988, 2012, 1500}}, []float64{1500, 1500, 1500, 1500}, claim.VerdictWrong, claim.VerdictWrong,
			"turning it reached nothing on channel 9, but moved channel 8 by 1024 µs: give channel 9 the knob as its source in " +
				"the transmitter, or correct the channel in the sheet", "but moved channel 8 by 512 µs"},
		{"the heartbeat does", map[int][]float64{16: {1500, 988, 2012, 1500}}, []float64{1500, 1500, 1500, 1500},
			claim.VerdictWrong, claim.VerdictWrong, source, source},
		{"without its curve", nil, []float64{1700, 988, 2012, 1500}, claim.VerdictWrong, claim.VerdictWrong,
			"gain goes from 988 µs to 2012 µs, beyond the sheet's 1500 µs to 2012 µs: give it a curve in the transmitter that " +
				"sends one side only", "set those first"},
		{"one end short", nil, []float64{1700, 1500, 1950, 1756}, claim.VerdictWrong, claim.VerdictRight,
			"gain fully clockwise stands at 1950 µs, not at the sheet's 2012 µs: set its ends in the transmitter", ""},
		{"a bent curve", nil, []float64{1700, 1500, 2012, 1850}, claim.VerdictRight, claim.VerdictWrong, "",
			"94 µs from half gain (1756 µs): give it a straight curve between its ends"},
		{"a flat half", nil, []float64{1700, 1500, 2012, 2012}, claim.VerdictRight, claim.VerdictWrong, "", "give it a straight curve between its ends"},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.answers()
			c.turned(x.along, x.widths...)
			if x.name == "dead at full gain" { // its first end was seen wrong, its second is met
				x.span = claim.VerdictWrong
			}
			assert.Equal(t, x.span, c.verdict("gain/span"))
			assert.Equal(t, x.half, c.verdict("gain/half"))
			assert.Contains(t, c.claim("gain/span").Sentence, x.says)
			assert.Contains(t, c.claim("gain/half").Sentence, x.says2)
		})
	}
}

// Where the ends were not seen, the centre alone does not show the setting.
func TestTheCentreAlone(t *testing.T) {
	c := starter(t)
	c.answers()
	c.did("gain/centre", map[int][]float64{9: {1600, 1850}})
	assert.Contains(t, c.claim("gain/half").Sentence, "its ends were not seen yet: do the drill gain from its start, that tells what to set")
	c.hear(event.GainSwept, "channel:9", turns(1500, 2012))
	c.did("gain/centre", map[int][]float64{9: {1600, 1850}})
	assert.Contains(t, c.claim("gain/half").Sentence, "give it a straight curve")
}

// Where the knob stood before something was reopened says nothing any more.
func TestWhereAKnobStoodIsForgotten(t *testing.T) {
	for what, says := range map[string]string{"gain": which, "inner": source} {
		c := starter(t)
		c.answers()
		c.turned(nil, 1700, 1700)
		c.hear(event.Reopened, "session", event.ReopenData{What: what})
		c.did("gain/clockwise", map[int][]float64{9: {1700, 1700}})
		assert.Contains(t, c.claim("gain/span").Sentence, says, what)
	}
}
