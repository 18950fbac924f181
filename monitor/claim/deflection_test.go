package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Who lets go after a second, or lets the model sink, leaves what looks like a kick, but
// stood longer than any.
func TestAnAnswerThatStoodLongIsNoKick(t *testing.T) {
	for away, want := range map[unit.Duration][2]claim.Verdict{
		800 * unit.Millisecond: {claim.VerdictRight, claim.VerdictWrong}, // the second of two
		801 * unit.Millisecond: {claim.VerdictOpen, claim.VerdictOpen},
	} {
		for i, mode := range []string{"damping", "upright"} {
			c := starter(t)
			d := c.tilt("response/"+mode+"/1/there", "builder", mode, map[int]went{2: kicks(75)})
			d.Outputs[1].TiltAwayNS = away
			c.hear(event.DrillAnswered, "drill:response", d)
			c.hear(event.DrillAnswered, "drill:response", d)
			assert.Equal(t, want[i], c.verdict("response/"+mode), c.claim("response/"+mode).Sentence)
			if away > 800*unit.Millisecond {
				assert.Contains(t, c.claim("response/"+mode).Sentence, "hold it still for three seconds")
			}
		}
	}
	c := open(t, elevons)
	d := c.tilt("response/rate/1/there", "count", "rate", map[int]went{1: kicks(40), 2: kicks(4.9)})
	d.Outputs[1].TiltAwayNS = 2 * unit.Second
	c.hear(event.DrillAnswered, "drill:response", d)
	assert.Equal(t, claim.VerdictRight, c.verdict("response/rate"), "an output that hardly moved says nothing of that")
}

// A hand that raises the model slowly and then drops it has the larger kick on the wrong
// side.
func TestTheFirstSideCounts(t *testing.T) {
	for _, x := range []struct {
		back, peak unit.Width
		turned     bool
		want       claim.Verdict
	}{
		{5_000, 80_000, true, claim.VerdictOpen},
		{5_000, 80_000, false, claim.VerdictRight},
		{4_999, 30_000, true, claim.VerdictRight},
		{5_000, 80_001, true, claim.VerdictRight},
		{15_000, 29_999, false, claim.VerdictOpen},
		{15_000, 30_000, false, claim.VerdictRight},
		{14_999, 20_000, false, claim.VerdictRight},
	} {
		for _, side := range []int64{1, -1} {
			c := starter(t)
			d := c.tilt("response/damping/1/there", "count", "damping", nil)
			m := &d.Outputs[1]
			m.TiltMostNS, m.TiltLeastNS = m.TiltRestNS+x.peak, m.TiltRestNS-x.back
			m.TiltMostAtNS, m.TiltLeastAtNS, m.TiltAwayNS = 1000, 2000, 300*unit.Millisecond
			if x.turned {
				m.TiltMostAtNS, m.TiltLeastAtNS = 2000, 1000
			}
			if side < 0 {
				m.TiltLeastNS, m.TiltMostNS = m.TiltRestNS-x.peak, m.TiltRestNS+x.back
				m.TiltLeastAtNS, m.TiltMostAtNS = m.TiltMostAtNS, m.TiltLeastAtNS
			}
			c.hear(event.DrillAnswered, "drill:response", d)
			assert.Equal(t, x.want, c.verdict("response/damping"), "%+v, %d: %s", x, side, c.claim("response/damping").Sentence)
		}
	}
}

// A hand that is far ahead of the count, or about another axis.
func TestNothingIsNotSureOfEveryTilt(t *testing.T) {
	for want, change := range map[string]func(d *event.DrillAnsweredData){
		"did not rest before the tilt":        func(d *event.DrillAnsweredData) { d.Outputs[1].TiltSwayNS = 15_000 },
		"which corrects another axis":         func(d *event.DrillAnsweredData) { d.Outputs[0].TiltMostNS += 30_000 },
		"output 1 (left aileron) moved 30 µs": func(d *event.DrillAnsweredData) { d.Outputs[0].TiltLeastNS -= 30_000 },
	} {
		c := starter(t)
		d := c.tilt("response/upright/1/there", "builder", "upright", nil)
		change(&d)
		c.hear(event.DrillAnswered, "drill:response", d)
		assert.Equal(t, claim.VerdictOpen, c.verdict("response/upright"))
		assert.Contains(t, c.claim("response/upright").Sentence, want)
	}
	for _, change := range []func(d *event.DrillAnsweredData){
		func(d *event.DrillAnsweredData) { d.Outputs[1].TiltSwayNS = 14_999 },
		func(d *event.DrillAnsweredData) { d.Outputs[0].TiltSwayNS = 90_000 },
		func(d *event.DrillAnsweredData) { d.Outputs[0].TiltMostNS += 29_999 },
		func(d *event.DrillAnsweredData) { d.Outputs[2].TiltMostNS += 90_000 }, // a motor
	} {
		c := starter(t)
		d := c.tilt("response/upright/1/there", "builder", "upright", nil)
		change(&d)
		c.hear(event.DrillAnswered, "drill:response", d)
		assert.Equal(t, claim.VerdictWrong, c.verdict("response/upright"), c.claim("response/upright").Sentence)
	}
	c := starter(t)
	d := c.tilt("response/upright/1/there", "builder", "upright", map[int]went{2: stays(15)})
	d.Outputs[1].TiltSwayNS = 90_000
	c.hear(event.DrillAnswered, "drill:response", d)
	assert.Equal(t, claim.VerdictRight, c.verdict("response/upright"), "what moved long before an answer does not matter")
}
