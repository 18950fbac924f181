package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

const answering = "answers/controls"

func TestWhatIsAnAnswer(t *testing.T) {
	for _, c := range []struct {
		name string
		hear func(*court)
		want claim.Verdict
	}{
		{"a switch that moves", func(c *court) { c.stands("inner", 2012) }, claim.VerdictRight},
		{"where a switch first stands", func(c *court) { c.switched(func(d *event.SwitchData) { d.Was = "" }) }, claim.VerdictOpen},
		{"a switch that is trimmed", func(c *court) { c.switched(func(d *event.SwitchData) { d.Was = d.To }) }, claim.VerdictOpen},
		{"a switch in a failsafe", func(c *court) { c.switched(func(d *event.SwitchData) { d.Signal = event.SignalFailsafe }) }, claim.VerdictOpen},
		{"a switch in a jump", func(c *court) { c.switched(func(d *event.SwitchData) { d.Suspect = true }) }, claim.VerdictOpen},
		{"60 µs", func(c *court) { c.did("order/aileron/left", map[int][]float64{7: {1500, 1560}}) }, claim.VerdictRight},
		{"59 µs", func(c *court) { c.did("order/aileron/left", map[int][]float64{7: {1500, 1559}}) }, claim.VerdictOpen},
		{"59 µs, the other way", func(c *court) { c.did("order/aileron/left", map[int][]float64{7: {1500, 1441}}) }, claim.VerdictOpen},
		{"there and back", func(c *court) { c.did("order/aileron/left", map[int][]float64{7: {1500, 1400, 1500}}) }, claim.VerdictRight},
		{"the heartbeat", func(c *court) { c.did("order/aileron/left", map[int][]float64{16: {1500, 2000}}) }, claim.VerdictOpen},
		{"a leap of many", func(c *court) {
			c.answered("order/aileron/left", func(d *event.DrillAnsweredData) { d.Suspect = true; d.Channels[0].MostNS += 500_000 })
		}, claim.VerdictOpen},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := starter(t)
			c.hear(k)
			assert.Equal(t, c.want, k.verdict(answering))
		})
	}
}

// switched is a switch that went to the front, or something like it.
func (c *court) switched(change func(*event.SwitchData)) {
	d := event.SwitchData{Tap: "main", To: "front", Was: "back", WidthNS: 2_012_000, Within: true, Signal: event.SignalLive}
	change(&d)
	c.hear(event.SwitchMoved, "switch:inner", d)
}

// answered is an answer in which nothing moved, or something like it.
func (c *court) answered(prompt string, change func(*event.DrillAnsweredData)) {
	d := c.answer(prompt, nil)
	change(&d)
	c.hear(event.DrillAnswered, "drill:x", d)
}

func TestHowOftenNothingAnswers(t *testing.T) {
	other := func(c *court) { c.did("order/elevator/back", nil) }
	still := func(c *court) { c.did("order/aileron/left", nil) }
	for _, x := range []struct {
		name string
		hear func(*court)
		want claim.Verdict
	}{
		{"twice", func(c *court) { still(c); still(c) }, claim.VerdictOpen},
		{"three times", func(c *court) { still(c); still(c); other(c) }, claim.VerdictWrong},
		{"three times, one control: it may be assigned to nothing", func(c *court) { still(c); still(c); still(c) }, claim.VerdictOpen},
		{"at neutral nothing is to move", func(c *court) { still(c); still(c); c.did("neutral/sticks", nil) }, claim.VerdictOpen},
		{"what nobody said was done", func(c *court) {
			still(c)
			still(c)
			c.answered("ends/elevator/back", func(d *event.DrillAnsweredData) { d.By = "time-out" })
		}, claim.VerdictOpen},
		{"what was not heard", func(c *court) {
			still(c)
			still(c)
			c.answered("ends/elevator/back", func(d *event.DrillAnsweredData) { d.Frames = 0 })
		}, claim.VerdictOpen},
		{"in a failsafe", func(c *court) {
			still(c)
			still(c)
			c.answered("ends/elevator/back", func(d *event.DrillAnsweredData) { d.Signal = event.SignalFailsafe })
		}, claim.VerdictOpen},
		{"after a jump it is no less still", func(c *court) {
			still(c)
			still(c)
			c.answered("ends/elevator/back", func(d *event.DrillAnsweredData) { d.Suspect = true })
		}, claim.VerdictWrong},
		{"after something answered", func(c *court) { c.answers(); still(c); still(c); still(c) }, claim.VerdictRight},
		{"reopened in between", func(c *court) {
			still(c)
			still(c)
			c.hear(event.Reopened, "session", event.ReopenData{What: claim.TopicAll})
			still(c)
		}, claim.VerdictOpen},
		{"something else reopened in between", func(c *court) {
			still(c)
			still(c)
			c.hear(event.Reopened, "session", event.ReopenData{What: "inner"})
			other(c)
		}, claim.VerdictWrong},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			x.hear(c)
			assert.Equal(t, x.want, c.verdict(answering))
		})
	}
}

// Taps at the model are no stick that nothing answers to.
func TestTiltsAreNoMovementsOfSticks(t *testing.T) {
	still := func(prompts ...string) claim.Verdict {
		c := starter(t)
		for _, p := range prompts {
			c.did(p, nil)
		}
		return c.verdict("answers/controls")
	}
	assert.Equal(t, claim.VerdictOpen, still("correction/pitch/there", "correction/pitch/other", "correction/pitch/level", "correction/pitch/eye"))
	assert.Equal(t, claim.VerdictOpen, still("response/damping/1/count", "response/damping/1/there", "response/damping/1/level"))
	assert.Equal(t, claim.VerdictWrong, still("order/aileron/left", "correction/pitch/stick", "correction/mode", "correction/pitch/home"))
	assert.Equal(t, claim.VerdictWrong, still("correction/mode/way/1/inner/front", "correction/mode",
		"response/upright/1/set/way/1/outer/back", "order/aileron/left"))
	assert.Equal(t, claim.VerdictWrong, still("response/damping/1/set", "order/aileron/left", "response/upright/1/set", "response/plain/1/set"))
	assert.Equal(t, claim.VerdictOpen, still("response/damping/1/set", "response/upright/1/set", "response/plain/1/set"), "one switch")
	assert.Equal(t, claim.VerdictOpen, still("mode/damping/back", "mode/upright/front/back/way/1/outer/back", "mode/upright/front/back"), "a way, too")
}

// A knob is one control, whichever drill asks for it.
func TestAKnobIsOneControlInEveryDrill(t *testing.T) {
	c := open(t, string(sheet.Starter()))
	for _, prompt := range []string{"gain/low", "gain/high", "ends/strength/high", "ends/strength/low"} {
		c.did(prompt, nil)
	}
	assert.Equal(t, claim.VerdictOpen, c.verdict(answering))
	c.did("order/aileron/left", nil)
	assert.Equal(t, claim.VerdictWrong, c.verdict(answering))
}

// A switch that stands elsewhere behind a silence need not have been moved.
func TestASwitchOverASilence(t *testing.T) {
	c := starter(t)
	c.switched(func(d *event.SwitchData) { d.To, d.Was = "back", "" })
	c.hear(event.BusLocked, "tap:main", event.LockedData{})
	c.switched(func(*event.SwitchData) {})
	assert.Equal(t, claim.VerdictOpen, c.verdict(answering))
	c.switched(func(d *event.SwitchData) { d.To, d.Was = "back", "front" })
	assert.Equal(t, claim.VerdictRight, c.verdict(answering))
}
