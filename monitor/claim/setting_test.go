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

// with is the starter's sheet with one thing changed.
func with(t *testing.T, old, changed string) *court {
	t.Helper()
	require.Contains(t, string(sheettest.TwoSwitches()), old)
	return open(t, strings.Replace(string(sheettest.TwoSwitches()), old, changed, 1))
}

// Each sentence names the setting that the fault broke, or says that it does not know
// which.
func TestSettingOfAMode(t *testing.T) {
	const id = "mode/upright/front/back"
	for name, x := range map[string]struct {
		hear func(*court)
		says string
	}{
		"a switch that reaches nothing": {func(c *court) { c.did(id, map[int][]float64{11: {988}, 13: {988}}) },
			"inner has not moved on this bus: its switch was not worked, or none is assigned to channel 11 in the transmitter"},
		"positions exchanged": {func(c *court) { c.works(); c.did(id, map[int][]float64{11: {988}, 13: {988}}) },
			"inner stands where its back belongs: its switch was not at front, or what its positions send is exchanged"},
		"an end that comes short": {func(c *court) { c.works(); c.did(id, map[int][]float64{11: {1650}, 13: {988}}) },
			"inner stands at no place of the sheet: set what it sends at front to 2012 µs in the transmitter"},
		"the other switch alone": {func(c *court) { c.works(); c.did(id, map[int][]float64{11: {2012}, 13: {2012}}) },
			"outer stands where its front belongs"},
	} {
		c := starter(t)
		c.answers()
		x.hear(c)
		assert.Equal(t, claim.VerdictWrong, c.verdict(id), name)
		k := c.claim(id)
		assert.Contains(t, k.Sentence, x.says, name)
		if name != "the other switch alone" {
			assert.NotContains(t, k.Sentence, "outer stands", name)
		} else {
			assert.NotContains(t, k.Sentence, "inner stands", name)
		}
		assert.NotContains(t, k.Sentence, "into the window", name)
	}
	c := with(t, "[{inner: [0, 1300]}]", "[{inner: [0, 990]}]")
	c.answers()
	c.works()
	c.did("mode/damping/back", map[int][]float64{11: {995}, 13: {988}})
	assert.Contains(t, c.claim("mode/damping/back").Sentence, "the positions are where the sheet puts them, as far as "+
		"its tolerance goes, but an edge of the window lies between")
}

func TestSettingOfAMargin(t *testing.T) {
	for from, says := range map[string]string{
		"manual": "300 µs inside its window, which is from the manual",
		"guess":  "300 µs inside its window, which is a guess",
	} {
		c := with(t, "from: manual   ", "from: "+from+"   ")
		c.answers()
		c.works()
		c.did("mode/upright/front/back", map[int][]float64{11: {2000}, 13: {988}})
		assert.Contains(t, c.claim("mode/upright/front/back").Sentence, says)
		c.did("mode/upright/front/back", map[int][]float64{11: {1750}, 13: {988}})
		assert.Equal(t, from == "guess", strings.HasSuffix(c.claim("margin/upright/front/back").Sentence, "or find out where the window really ends"))
	}
}

func TestSettingOfAWay(t *testing.T) {
	one := strings.Replace(string(sheettest.TwoSwitches()), "when: [{inner: [1700, 3000], outer: [0, 1500]}]", "when: [{inner: [1700, 3000]}]", 1)
	one = strings.Replace(one, "wanted_at: [{inner: front, outer: back}]", "wanted_at: [{inner: front}]", 1)
	before, rest, _ := strings.Cut(one, "    hold-course:")
	_, after, _ := strings.Cut(rest, "  margin:")
	for name, x := range map[string]struct {
		text  string
		steps [3][2]float64
		id    string
		says  string
		not   string
	}{
		"one mode channel": {before + "  margin:" + after, [3][2]float64{{988, 988}, {1400, 988}, {2012, 988}}, "passing/plain",
			"take whatever slows or delays inner, or mixes into it, off the channel in the transmitter", "first"},
		"one channel of two": {string(sheettest.TwoSwitches()), [3][2]float64{{988, 988}, {1400, 988}, {2012, 988}}, "passing/plain",
			"take whatever slows or delays inner", "first"},
		"the other order is free": {string(sheettest.TwoSwitches()), [3][2]float64{{988, 988}, {2012, 988}, {2012, 2012}}, "passing/upright",
			"let inner and outer change at the same moment and at once in the transmitter, or move outer first, which touches no other mode", "either"},
	} {
		c := open(t, x.text)
		c.placed()
		c.asks(x.steps[0][0], x.steps[0][1])
		c.asksUnder(x.steps[1][0], x.steps[1][1], event.SignalLive, false, true)
		c.asks(x.steps[2][0], x.steps[2][1])
		assert.Contains(t, c.claim(x.id).Sentence, x.says, name)
		assert.NotContains(t, c.claim(x.id).Sentence, x.not, name)
	}
	both := strings.Replace(string(sheettest.TwoSwitches()), "when: [{inner: [0, 1300]}] ", "when: [{inner: [0, 1300], outer: [0, 1500]}] ", 1)
	c := open(t, strings.Replace(both, "wanted_at: [{inner: back}]", "wanted_at: [{inner: back, outer: back}]", 1))
	c.asks(988, 988)
	c.asksUnder(2012, 988, event.SignalLive, false, true)
	c.asks(2012, 2012)
	assert.Contains(t, c.claim("passing/upright").Sentence, "from one switch: by hand, either order touches another mode")
}

func TestSettingOfAPlace(t *testing.T) {
	for name, x := range map[string]struct {
		widths []float64
		place  string
		says   string
	}{
		"a middle": {[]float64{988, 2012, 1560}, "middle",
			"60 µs above the sheet's: set what it sends at middle to 1500 µs in the transmitter, by the offset of channel 11; or correct the sheet"},
		"an end": {[]float64{988, 1500, 1900}, "front",
			"112 µs below the sheet's: set what it sends at front to 2012 µs in the transmitter, by the end point of channel 11; or correct the sheet"},
	} {
		c := starter(t)
		for _, w := range x.widths {
			c.stands("inner", w)
		}
		assert.Contains(t, c.claim("position/inner/"+x.place).Sentence, x.says, name)
	}
	c := open(t, "sheet: 1\nmodel: Table\nchannels:\n  9: {name: strength, kind: fixed, value: 1756}\n")
	assert.Equal(t, "listen: nothing has to be moved for it", c.claim("position/strength/value").Settle.String())
	c.stands("strength", 1600)
	assert.Contains(t, c.claim("position/strength/value").Sentence, "set what it sends at value to 1756 µs in the transmitter, by the fixed value of channel 9")
}

// A fixed channel is put nowhere.
func TestAFixedChannelIsNotPut(t *testing.T) {
	const text = `sheet: 1
model: Table
channels:
  9: {name: strength, kind: fixed, value: 1756}
  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}
stabiliser:
  windows: {from: guess}
  modes:
    one: {when: [{strength: [1700, 1800], inner: [0, 1500]}], wanted_at: [{strength: value, inner: back}]}
    two: {when: [{strength: [1800, 1900]}]}
`
	c := open(t, text)
	assert.Equal(t, "put inner back", c.claim("mode/one/value/back").Settle.String())
	assert.Equal(t, "put inner back", c.claim("margin/one/value/back").Settle.String())
	for _, back := range []float64{2012, 988, 2012, 988} {
		c.hear(event.ModeAsked, "stabiliser",
			event.ModeData{Tap: "main", Mode: "two",
				Widths: map[string]unit.Width{"strength": 1_850_000, "inner": unit.Width(back * 1000)}, Signal: event.SignalLive})
	}
	c.did("mode/one/value/back", map[int][]float64{9: {1850}, 11: {2012, 988}})
	assert.Equal(t, claim.VerdictWrong, c.verdict("mode/one/value/back"))
	assert.Contains(t, c.claim("mode/one/value/back").Sentence, "strength stands at another value than the sheet's: "+
		"change the fixed value of channel 9 in the transmitter to 1756 µs")
	assert.NotContains(t, c.claim("mode/one/value/back").Sentence, "what it sends at value")
}

func TestSettingOfAThrottle(t *testing.T) {
	for name, x := range map[string]struct {
		step     string
		at       float64
		id, says string
	}{
		"a little high":          {"idle", 1060, "idle/throttle", "set that end of its travel, where the stick is down, or its trim"},
		"reversed":               {"idle", 2012, "idle/throttle", "was the stick down? If it was, reverse channel 3 in the transmitter"},
		"cut at another value":   {"cut", 1040, "cut/throttle", "set the throttle cut in the transmitter to 988 µs, in every flight phase"},
		"cut at the wrong end":   {"cut", 2012, "cut/throttle", "the cut was not on, it is set to the wrong end, or channel 3 runs the wrong way"},
		"the stick goes through": {"cut-full", 2012, "cut/throttle", "the stick still drives it: was the cut on?"},
	} {
		c := starter(t)
		c.answers()
		c.did("neutral/"+x.step, map[int][]float64{3: {x.at}})
		assert.Equal(t, claim.VerdictWrong, c.verdict(x.id), name)
		assert.Contains(t, c.claim(x.id).Sentence, x.says, name)
	}
	c := starter(t)
	c.answers()
	for _, step := range []string{"cut", "cut-full"} { // it was up before the stick was
		c.did("neutral/"+step, map[int][]float64{3: {2012}})
		assert.Contains(t, c.claim("cut/throttle").Sentence, "or channel 3 runs the wrong way", step)
	}
	c = starter(t)
	c.answers()
	c.did("neutral/sticks", map[int][]float64{1: {1540}})
	assert.Contains(t, c.claim("neutral/aileron").Sentence, "centre its trim, then set its offset in the transmitter so that it rests at 1500 µs")
}

// A motor that came to its cut has the right preset: what is wrong is the time.
func TestSettingOfAMotorThatIsLate(t *testing.T) {
	c := starter(t)
	c.hear(event.LossOutputs, "tap:leads", event.LossOutputsData{Outputs: []event.LossOutput{
		{Output: 3, WasNS: 1_700_000, NowNS: 988_000, LeastNS: 988_000, MostNS: 1_200_000, SilentNS: -1}}})
	k := c.claim("failsafe/output:3")
	assert.Equal(t, claim.VerdictWrong, k.Verdict)
	assert.Contains(t, k.Sentence, "it came to its cut, but late")
	assert.NotContains(t, k.Sentence, "anew")
	assert.NotContains(t, k.Sentence, "nobody to stop it")
}

// A throttle that goes to its cut where the sheet wants another width stops the motor.
func TestSettingOfAThrottleThatStops(t *testing.T) {
	c := with(t, "throttle: {at_most: 1000}", "throttle: {at_least: 1100}")
	c.loses(func(*event.LossData) {})
	k := c.claim("failsafe/throttle")
	assert.Equal(t, claim.VerdictWrong, k.Verdict)
	assert.Contains(t, k.Sentence, "which stops a motor")
	assert.NotContains(t, k.Sentence, "could run")
}

// What leaves all claims open is said in full once.
func TestALongReasonIsSaidOnce(t *testing.T) {
	c := starter(t)
	c.loses(func(d *event.LossData) {
		d.Class, d.Flag, d.FailsafeNS, d.DatedBy = event.LossUnclear, event.FlagClassNever, -1, "builder"
	})
	long, short := 0, 0
	for _, k := range c.book.Claims() {
		if strings.Contains(k.Sentence, "No heartbeat was seen to break off") {
			long++
		}
		if strings.HasSuffix(k.Sentence, "; it was tried, and could not be told") {
			short++
		}
	}
	assert.Equal(t, 1, long)
	assert.Greater(t, short, 10)
}

func TestSettingOfAGesture(t *testing.T) {
	set := event.GestureData{Gesture: "limit-learning", Times: 3, SpanNS: 2 * unit.Second, Signal: event.SignalLive}
	c := starter(t)
	c.hear(event.GestureMade, "gesture:limit-learning", set)
	assert.Contains(t, c.claim("gesture/limit-learning").Sentence, "keep your hand off it, and see that nothing else drives channel 15")
	c = with(t, "    kind: momentary\n    rest: 988                 # the width when let go\n    pressed: 2012 ",
		"    kind: switch\n    positions: {rest: 988, pressed: 2012} ")
	c.hear(event.GestureMade, "gesture:limit-learning", set)
	assert.Contains(t, c.claim("gesture/limit-learning").Sentence, "put its channel on a momentary switch of two positions in the transmitter")
}

// The distance of a link is not on the wire.
func TestAShareOfMissedFramesKnowsNoDistance(t *testing.T) {
	c := starter(t)
	for _, k := range c.book.Claims() {
		assert.NotContains(t, k.Sentence+k.Settle.String(), "distance")
	}
}
