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

// rescued is a court over a sheet with a switch that rights the model over plain, where nothing is answered.
// What it leans on was seen right unless told otherwise.
func rescued(t *testing.T, before bool) *court {
	text := strings.Replace(string(sheettest.TwoSwitches()), "  margin: 100 us",
		"  righting: {channel: rescue, when: pressed, over: [plain]}\n  margin: 100 us", 1)
	text = strings.Replace(text, "channels:\n", "channels:\n  6: {name: rescue, kind: momentary, rest: 988, pressed: 2012}\n", 1)
	require.Contains(t, text, "over: [plain]")
	c := open(t, text)
	if before {
		c.began("correction")
		c.hear(event.DrillAnswered, "drill:correction", c.held("correction/pitch/stick", 2012))
		c.hear(event.DrillAnswered, "drill:correction", c.tilt("correction/pitch/there", "builder", "upright", map[int]went{2: stays(80)}))
		c.hear(event.DrillAnswered, "drill:correction", c.tilt("correction/pitch/other", "builder", "upright", map[int]went{2: stays(-80)}))
		require.Equal(t, claim.VerdictRight, c.verdict("correction/pitch/output:2"))
		c.hear(event.DrillAnswered, "drill:response", c.tilt("response/upright/1/there", "builder", "upright", map[int]went{2: stays(80)}))
		require.Equal(t, claim.VerdictRight, c.verdict("response/upright"))
	}
	return c
}

// held is the elevator stick held over, and its output with it.
func (c *court) held(prompt string, us float64) event.DrillAnsweredData {
	d := c.answer(prompt, map[int][]float64{2: {1500, us}})
	for i := range c.sheet.Outputs {
		n, off := c.sheet.Outputs[i].Number, 0.0
		if n == 2 {
			off = us - 1500
		}
		d.Outputs = append(d.Outputs, stays(off).move(n))
	}
	return d
}

// rights is a round of the drill: how far the elevator stands off while it is held, on and off, µs.
func (c *court) rights(held, on, off float64, change func(step string, d *event.DrillAnsweredData)) {
	c.t.Helper()
	c.began("righting")
	for _, x := range []struct {
		step, mode string
		us         float64
		rescue     []float64
	}{
		{"set", "plain", 0, []float64{988}}, {"prop", "plain", 0, []float64{988}}, {"hold", "upright", held, []float64{988}},
		{"back", "plain", 0, []float64{988}}, {"on", "plain", on, []float64{988, 2012}}, {"off", "plain", off, []float64{2012, 988}},
		{"level", "plain", 0, []float64{988}},
	} {
		d := c.answer("righting/plain/"+x.step, map[int][]float64{6: x.rescue})
		if d.By, d.Mode = "wire", x.mode; x.step == "prop" {
			d.By = "builder"
		}
		for i := range c.sheet.Outputs {
			n, us := c.sheet.Outputs[i].Number, 0.0
			if n == 2 {
				us = x.us
			}
			d.Outputs = append(d.Outputs, stays(us).move(n))
		}
		if change != nil {
			change(x.step, &d)
		}
		c.hear(event.DrillAnswered, "drill:righting", d)
	}
}

func TestRightingOverAMode(t *testing.T) {
	at := func(step string, change func(d *event.DrillAnsweredData)) func(string, *event.DrillAnsweredData) {
		return func(s string, d *event.DrillAnsweredData) {
			if s == step {
				change(d)
			}
		}
	}
	for name, x := range map[string]struct {
		held, on, off float64
		change        func(string, *event.DrillAnsweredData)
		want          claim.Verdict
		says          string
	}{
		"as the mode that holds": {80, 85, 1, nil, claim.VerdictRight, "moved outputs by 85 µs about a tilt that UPRIGHT answered by 80 µs, the same way"},
		"half as far":            {80, 40, 0, nil, claim.VerdictRight, ""},
		"the other way":          {80, -60, 0, nil, claim.VerdictWrong, "it turns the model the other way"},
		"nothing":                {80, 4, 0, nil, claim.VerdictWrong, "the receiver does not take it for its switch"},
		"hardly anything":        {80, 12, 0, nil, claim.VerdictOpen, "too little to tell"},
		"less than a quarter":    {80, 19, 0, nil, claim.VerdictOpen, "too little to tell"},
		"nobody propped it":      {4, 2, 0, nil, claim.VerdictOpen, "perhaps it was not tilted"},
		"propped too little":     {29, 29, 0, nil, claim.VerdictOpen, "perhaps it was not tilted"},
		"it does not let go":     {80, 80, 41, nil, claim.VerdictOpen, "two seconds after rescue was let go"},
		"it lets go for most":    {80, 80, 39, nil, claim.VerdictRight, ""},
		"an Enter came before":   {80, 2, 0, at("on", func(d *event.DrillAnsweredData) { d.By = "builder" }), claim.VerdictOpen, "not for long enough"},
		"another mode": {80, 2, 0, at("on", func(d *event.DrillAnsweredData) { d.Mode = "upright" }), claim.VerdictOpen,
			"the bus asked for UPRIGHT instead of PLAIN"},
		"a stick was moved": {80, 2, 0, at("on", func(d *event.DrillAnsweredData) { d.Channels[1].MostNS += 20_000 }), claim.VerdictOpen,
			"elevator moved on the bus meanwhile"},
		"the transmitter is off": {80, 2, 0, at("on", func(d *event.DrillAnsweredData) { d.Signal = event.SignalFailsafe }), claim.VerdictOpen,
			"did not hear its transmitter"},
		"channels leapt": {80, 2, 0, at("on", func(d *event.DrillAnsweredData) { d.Suspect = true }), claim.VerdictOpen, "had leapt at once"},
		"the lead was silent": {80, 2, 0, at("on", func(d *event.DrillAnsweredData) { d.Outputs = nil }), claim.VerdictOpen,
			"no output that corrects this sent pulses all along"},
		"never held": {80, 2, 0, at("hold", func(d *event.DrillAnsweredData) { d.Prompt = "strange" }), claim.VerdictOpen,
			"sent no pulses for a part of the drill"},
	} {
		t.Run(name, func(t *testing.T) {
			c := rescued(t, true)
			c.rights(x.held, x.on, x.off, x.change)
			k := c.claim("righting/over/plain")
			assert.Equal(t, x.want, k.Verdict, k.Sentence)
			assert.Contains(t, k.Sentence, x.says)
		})
	}
}

// It is shown after what it leans on, never before.
func TestRightingComesAfterAttitude(t *testing.T) {
	c := rescued(t, false)
	c.rights(80, 2, 0, nil)
	assert.Equal(t, claim.VerdictOpen, c.verdict("righting/over/plain"))
	assert.Contains(t, c.claim("righting/over/plain").Sentence, "leans on UPRIGHT, which is shown first: do drill correction")
	c = rescued(t, true)
	c.hear(event.Reopened, "session", event.ReopenData{What: "inner"})
	c.rights(80, 2, 0, nil)
	assert.Contains(t, c.claim("righting/over/plain").Sentence, "do drill response")
}

func TestRightingRests(t *testing.T) {
	c := rescued(t, true)
	c.moves("rescue", "rest", "pressed", 0)
	assert.Equal(t, claim.VerdictOpen, c.verdict("righting/rests"))
	c.moves("rescue", "pressed", "rest", 0)
	assert.Equal(t, claim.VerdictRight, c.verdict("righting/rests"))

	latched := func(step string, d *event.DrillAnsweredData) {
		if step == "off" {
			d.By, d.Channels[5] = "builder", event.ChannelMove{Channel: 6, FromNS: 2_012_000, ToNS: 2_012_000, LeastNS: 2_012_000, MostNS: 2_012_000}
		}
	}
	c = rescued(t, true)
	c.rights(80, 80, 80, latched)
	assert.Equal(t, claim.VerdictOpen, c.verdict("righting/rests"), "it was let go of later")
	c.rights(80, 80, 80, func(step string, d *event.DrillAnsweredData) {
		latched(step, d)
		if step == "level" {
			d.Channels[5].LeastNS, d.Channels[5].MostNS = 2_012_000, 2_012_000
		}
	})
	assert.Equal(t, claim.VerdictWrong, c.verdict("righting/rests"))
	assert.Contains(t, c.claim("righting/rests").Sentence, "its switch latches")
}

// moves is a switch that moved, so many ms before the event of the second.
func (c *court) moves(name, was, to string, earlier unit.Duration) {
	c.t.Helper()
	ch, _ := c.sheet.ByName(name)
	p, _ := ch.Place(to)
	c.now = c.now.Add(-unit.Second - earlier*unit.Millisecond)
	c.hear(event.SwitchMoved, "switch:"+name, event.SwitchData{Tap: "main", Was: was, To: to, WidthNS: p.Width, Within: true, Signal: event.SignalLive})
	c.now = c.now.Add(earlier * unit.Millisecond)
}

func TestRightingIsPutOnAlone(t *testing.T) {
	both := func(apart unit.Duration) func(c *court) {
		return func(c *court) {
			c.now = c.now.Add(5 * unit.Second)
			c.moves("inner", "back", "middle", 0)
			c.moves("rescue", "rest", "pressed", apart)
		}
	}
	each := func(c *court) {
		for _, x := range [][3]string{{"inner", "back", "middle"}, {"outer", "back", "front"}, {"rescue", "rest", "pressed"}, {"inner", "middle", "back"}} {
			c.now = c.now.Add(5 * unit.Second)
			c.moves(x[0], x[1], x[2], 0)
		}
		c.now = c.now.Add(5 * unit.Second)
		c.hear(event.Mark, "session", event.MarkData{Text: "later"})
	}
	for name, x := range map[string]struct {
		do   []func(c *court)
		want claim.Verdict
		says string
	}{
		"each by itself":      {[]func(c *court){each}, claim.VerdictRight, "not along with inner, outer"},
		"twice in one moment": {[]func(c *court){both(0), both(20)}, claim.VerdictWrong, "in the same moment as inner, 2 times"},
		"once in one moment":  {[]func(c *court){both(0), each}, claim.VerdictOpen, ""},
		"twice, a hand apart": {[]func(c *court){both(60), both(60)}, claim.VerdictOpen, ""},
		"only one switch by itself": {[]func(c *court){func(c *court) {
			c.moves("inner", "back", "middle", 0)
			c.now = c.now.Add(5 * unit.Second)
			c.moves("inner", "middle", "back", 0)
		}}, claim.VerdictOpen, "still to be moved by itself: outer, rescue"},
	} {
		t.Run(name, func(t *testing.T) {
			c := rescued(t, true)
			for _, do := range x.do {
				do(c)
			}
			assert.Equal(t, x.want, c.verdict("righting/alone"), c.claim("righting/alone").Sentence)
			assert.Contains(t, c.claim("righting/alone").Sentence, x.says)
		})
	}
}

func TestRightingWithoutASignal(t *testing.T) {
	for name, x := range map[string]struct {
		was, now unit.Width
		class    event.LossClass
		want     claim.Verdict
		says     string
	}{
		"it goes on":        {988_000, 2_012_000, event.LossPreset, claim.VerdictWrong, "set its failsafe preset to rest"},
		"it stays on":       {2_012_000, 2_012_000, event.LossHold, claim.VerdictWrong, "instead of hold"},
		"it lets go":        {2_012_000, 988_000, event.LossPreset, claim.VerdictRight, "left pressed"},
		"it stays off":      {988_000, 988_000, event.LossUnclear, claim.VerdictRight, "stood at 988 µs, not at pressed"},
		"frames stopped":    {988_000, 2_012_000, event.LossSilent, claim.VerdictOpen, ""},
		"it was on its way": {988_000, 1_600_000, event.LossUnderWay, claim.VerdictOpen, "was still on its way"},
	} {
		t.Run(name, func(t *testing.T) {
			c := rescued(t, true)
			c.loses(func(d *event.LossData) { d.Channels[5] = event.LossChannel{Class: x.class, WasNS: x.was, NowNS: x.now} })
			assert.Equal(t, x.want, c.verdict("righting/failsafe"), c.claim("righting/failsafe").Sentence)
			assert.Contains(t, c.claim("righting/failsafe").Sentence, x.says)
		})
	}
}

// A tilt while the switch is on shows nothing of the mode.
func TestTiltsWhileRightedSayNothing(t *testing.T) {
	c := rescued(t, false)
	d := c.tilt("response/plain/1/there", "builder", "plain", map[int]went{2: stays(80)})
	d.Channels[5].LeastNS, d.Channels[5].MostNS = 988_000, 2_012_000
	c.hear(event.DrillAnswered, "drill:response", d)
	assert.Equal(t, claim.VerdictOpen, c.verdict("response/plain"))
	assert.Contains(t, c.claim("response/plain").Sentence, "rescue was at pressed meanwhile, which overrides the mode")
}
