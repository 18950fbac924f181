package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// went is how an output moved from 1500 µs, µs: the farthest to either side, and in
// the last second.
type went struct{ least, most, late float64 }

// To the farther side it went first, for as long as it stands there.
func (w went) move(output int) event.OutputMove {
	at := func(us float64) unit.Width { return 1_500_000 + unit.Width(us*1000) }
	m := event.OutputMove{Output: output, FromNS: at(0), LeastNS: at(w.least), MostNS: at(w.most), EndMeanNS: at(w.late), Pulses: 200}
	m.TiltRestNS, m.TiltLeastNS, m.TiltMostNS = m.FromNS, m.LeastNS, m.MostNS
	m.TiltLeastAtNS, m.TiltMostAtNS = 500*unit.Millisecond, unit.Second
	if w.most >= -w.least {
		m.TiltLeastAtNS, m.TiltMostAtNS = m.TiltMostAtNS, m.TiltLeastAtNS
	}
	if m.TiltAwayNS = 300 * unit.Millisecond; 2*max(w.late, -w.late) >= max(w.most, -w.least) {
		m.TiltAwayNS = 4 * unit.Second
	}
	return m
}

// stays is an answer that lasts, kicks one that fades.
func stays(us float64) went {
	w := kicks(us)
	w.late = us
	return w
}

func (w went) mirrored() went { return went{-w.most, -w.least, -w.late} }

func kicks(us float64) went { return went{least: min(0, us), most: max(0, us)} }

// tilt is an answer of a drill that tilts: outputs by number; the others stand.
func (c *court) tilt(prompt, by, mode string, outputs map[int]went) event.DrillAnsweredData {
	d := c.answer(prompt, nil)
	d.By, d.Mode, d.Who = by, mode, "Ann"
	for i := range c.sheet.Outputs {
		n := c.sheet.Outputs[i].Number
		d.Outputs = append(d.Outputs, outputs[n].move(n))
	}
	return d
}

func (c *court) began(drill string) {
	c.t.Helper()
	c.hear(event.DrillBegan, "drill:"+drill, event.DrillBeganData{})
}

// responds is the tail raised in a mode: output 2 is the elevator.
func (c *court) responds(mode, by string, elevator went) {
	c.t.Helper()
	c.hear(event.DrillAnswered, "drill:response", c.tilt("response/"+mode+"/1/there", by, mode, map[int]went{2: elevator}))
}

// What the outputs did, against what the sheet says of the mode: damping returns,
// upright stays, plain does nothing.
func TestResponses(t *testing.T) {
	const damping, upright, off = "damping", "upright", "plain"
	for _, x := range []struct {
		name, mode, by string
		did            went
		want           claim.Verdict
	}{
		{"a kick that returns", damping, "count", kicks(40), claim.VerdictRight},
		{"to the other side", damping, "count", kicks(-40), claim.VerdictRight},
		{"the least that is one", damping, "count", kicks(12), claim.VerdictRight},
		{"just nothing", damping, "builder", kicks(11.9), claim.VerdictOpen},
		{"nothing but what a slow hand makes", damping, "builder", kicks(5), claim.VerdictOpen},
		{"nothing at all, confirmed", damping, "builder", kicks(4.9), claim.VerdictWrong},
		{"nothing at all, by a count", damping, "count", kicks(0), claim.VerdictOpen},
		{"it stays", damping, "count", stays(40), claim.VerdictWrong},
		{"it stays, but little", damping, "count", stays(29.9), claim.VerdictOpen},
		{"it stays, no less", damping, "count", stays(30), claim.VerdictWrong},
		{"a quarter is left", damping, "count", went{0, 40, 9.9}, claim.VerdictRight},
		{"more than a quarter is left", damping, "count", went{0, 40, 10}, claim.VerdictOpen},
		{"more than a quarter, but nothing to speak of", damping, "count", went{0, 20, 7.9}, claim.VerdictRight},
		{"and more", damping, "count", went{0, 20, 8}, claim.VerdictOpen},
		{"left on the other side", damping, "count", went{-9.9, 40, -9.9}, claim.VerdictRight},
		{"more than a quarter is left on the other side", damping, "count", went{-12, 40, -12}, claim.VerdictOpen},
		{"left far on the other side", damping, "count", went{-30, 40, -30}, claim.VerdictOpen},
		{"there and back", damping, "count", went{-35, 40, 0}, claim.VerdictOpen},

		{"it stays", upright, "count", stays(75), claim.VerdictRight},
		{"the least that stays", upright, "count", stays(12), claim.VerdictRight},
		{"a third stays", upright, "count", went{0, 90, 30}, claim.VerdictRight},
		{"less than a third stays", upright, "count", went{0, 90, 29.9}, claim.VerdictOpen},
		{"it returns, once", upright, "count", kicks(75), claim.VerdictOpen},
		{"it returns, but it was little", upright, "count", kicks(29.9), claim.VerdictOpen},
		{"nothing, confirmed", upright, "builder", kicks(4.9), claim.VerdictWrong},
		{"hardly anything, confirmed", upright, "builder", kicks(5), claim.VerdictOpen},
		{"hardly an answer, confirmed", upright, "builder", kicks(11.9), claim.VerdictOpen},
		{"there and back", upright, "count", went{-35, 75, 40}, claim.VerdictRight},
		{"there and farther back", upright, "count", went{-38, 75, 40}, claim.VerdictOpen},
		{"nothing, by a count", upright, "count", kicks(0), claim.VerdictOpen},

		{"nothing, confirmed", off, "builder", kicks(4.9), claim.VerdictRight},
		{"hardly anything, confirmed", off, "builder", kicks(5), claim.VerdictOpen},
		{"nothing, by a count", off, "count", kicks(0), claim.VerdictOpen},
		{"a kick", off, "count", kicks(30), claim.VerdictWrong},
		{"a small kick", off, "count", kicks(29.9), claim.VerdictOpen},
		{"it stays", off, "count", stays(40), claim.VerdictWrong},
	} {
		t.Run(x.mode+" "+x.name, func(t *testing.T) {
			c := starter(t)
			c.responds(x.mode, x.by, x.did)
			assert.Equal(t, x.want, c.verdict("response/"+x.mode), c.claim("response/"+x.mode).Sentence)
			if x.want == claim.VerdictOpen {
				assert.NotEqual(t, starter(t).claim("response/"+x.mode).Sentence, c.claim("response/"+x.mode).Sentence, "it says why")
			}
		})
	}
}

func TestResponsesInWords(t *testing.T) {
	c := starter(t)
	c.responds("upright", "count", went{0, 84, 72})
	assert.Equal(t, "in UPRIGHT a held tilt moved the outputs, and they stay there: 84 µs at most, 72 µs after some "+
		"seconds (tilted by Ann on a spoken count), as the sheet wants", c.claim("response/upright").Sentence)
	assert.Equal(t, map[string]int64{"peak_ns": 84_000, "late_ns": 72_000}, c.claim("response/upright").Figures)
	c.responds("damping", "builder", kicks(0))
	assert.Equal(t, "in DAMPING a held tilt moved no output by more than 0 µs (tilted by Ann, confirmed by a tap); the "+
		"sheet wants a tilt to move the outputs with a kick that returns: "+
		"it is off in this mode, though it answers in others, or its gain is at zero here: look at what the receiver does "+
		"in this mode, and at where the sheet's windows come from", c.claim("response/damping").Sentence)
}

// On a spoken count alone, nothing may be because nobody tilted. Each tilt needs its own
// proof: that another one was answered says nothing of this one.
func TestEachTiltIsItsOwnProof(t *testing.T) {
	const alone, beside = "the stabiliser is off in this mode, its gain is at zero", "it is off in this mode, though it answers in others"
	for _, x := range []struct {
		name, by    string
		play        func(c *court)
		off, levels claim.Verdict
		says        string
	}{
		{"none answered", "count", func(*court) {}, claim.VerdictOpen, claim.VerdictOpen, "nobody tilted"},
		{"one after", "count", func(c *court) { c.responds("damping", "count", kicks(40)) }, claim.VerdictOpen, claim.VerdictOpen, "nobody tilted"},
		{"confirmed", "builder", func(*court) {}, claim.VerdictRight, claim.VerdictWrong, alone},
		{"confirmed, one after", "builder", func(c *court) { c.responds("damping", "count", kicks(40)) }, claim.VerdictRight, claim.VerdictWrong, beside},
		{"one after, too little to be sure", "builder", func(c *court) { c.responds("damping", "count", kicks(29.9)) },
			claim.VerdictRight, claim.VerdictWrong, alone},
		{"one of a mode of which the sheet says nothing", "builder",
			func(c *court) { c.responds("hold-course", "count", kicks(30)) }, claim.VerdictRight, claim.VerdictWrong, beside},
		{"one in another run", "builder", func(c *court) { c.began("response"); c.responds("damping", "count", kicks(40)) },
			claim.VerdictRight, claim.VerdictWrong, alone},
		{"another drill in between", "builder", func(c *court) { c.began("mode"); c.responds("damping", "count", kicks(40)) },
			claim.VerdictRight, claim.VerdictWrong, beside},
		{"after something was changed", "builder", func(c *court) {
			c.hear(event.Reopened, "session", event.ReopenData{What: "inner"})
			c.responds("damping", "count", kicks(40))
		}, claim.VerdictStale, claim.VerdictOpen, "a tilt that is held moves"},
		{"after the outputs were changed", "builder", func(c *court) {
			c.hear(event.Reopened, "session", event.ReopenData{What: claim.TopicOutputs})
			c.responds("damping", "count", kicks(40))
		}, claim.VerdictStale, claim.VerdictOpen, "a tilt that is held moves"},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.began("response")
			c.responds("plain", x.by, kicks(0))
			c.responds("upright", x.by, kicks(0))
			x.play(c)
			assert.Equal(t, x.off, c.verdict("response/plain"))
			assert.Equal(t, x.levels, c.verdict("response/upright"))
			assert.Contains(t, c.claim("response/upright").Sentence, x.says)
		})
	}
}

// What is no answer to a tilt proves nothing, whatever the outputs did.
func TestResponsesThatProveNothing(t *testing.T) {
	for want, change := range map[string]func(*event.DrillAnsweredData){
		"did not hear its transmitter":          func(d *event.DrillAnsweredData) { d.Signal = event.SignalMissed },
		"hear its transmitter meanwhile":        func(d *event.DrillAnsweredData) { d.Frames = 0 },
		"leapt at once":                         func(d *event.DrillAnsweredData) { d.Suspect = true },
		"the bus asked for DAMPING":             func(d *event.DrillAnsweredData) { d.Mode = "damping" },
		"the bus asked for NO MODE":             func(d *event.DrillAnsweredData) { d.Mode = "" },
		"elevator moved on the bus":             func(d *event.DrillAnsweredData) { d.Channels[1].MostNS += 8_001 },
		"elevator moved on the bus meanwhile":   func(d *event.DrillAnsweredData) { d.Channels[1].LeastNS -= 8_001 },
		"no output that corrects this sent":     func(d *event.DrillAnsweredData) { d.Outputs[1].EndMeanNS = 0 },
		"no output that corrects this sent p":   func(d *event.DrillAnsweredData) { d.Outputs[1].TiltRestNS = 0 },
		"no output that corrects this sent pul": func(d *event.DrillAnsweredData) { d.Outputs = nil },
		"did not rest before the tilt":          func(d *event.DrillAnsweredData) { d.Outputs[1].SwayNS = 37_500 },
	} {
		c := starter(t)
		d := c.tilt("response/upright/1/there", "builder", "upright", map[int]went{2: stays(75)})
		change(&d)
		c.hear(event.DrillAnswered, "drill:response", d)
		assert.Equal(t, claim.VerdictOpen, c.verdict("response/upright"), want)
		assert.Contains(t, c.claim("response/upright").Sentence, want)
	}
	for _, change := range []func(*event.DrillAnsweredData){
		func(d *event.DrillAnsweredData) { d.Channels[1].MostNS += 8_000 },  // as a gimbal does by itself
		func(d *event.DrillAnsweredData) { d.Channels[0].MostNS += 90_000 }, // a stick that does not move the elevator
		func(d *event.DrillAnsweredData) { d.Outputs[0].EndMeanNS = 0 },     // an output that has nothing to do with it
		func(d *event.DrillAnsweredData) { d.Outputs[0].SwayNS = 90_000 },   // likewise
		func(d *event.DrillAnsweredData) { d.Outputs[1].SwayNS = 37_400 },   // less than half of the answer
	} {
		c := starter(t)
		d := c.tilt("response/upright/1/there", "builder", "upright", map[int]went{2: stays(75)})
		change(&d)
		c.hear(event.DrillAnswered, "drill:response", d)
		assert.Equal(t, claim.VerdictRight, c.verdict("response/upright"))
	}
	for sway, want := range map[unit.Width]claim.Verdict{14_999: claim.VerdictRight, 15_000: claim.VerdictOpen} {
		c := starter(t)
		d := c.tilt("response/upright/1/there", "builder", "upright", map[int]went{2: stays(25)})
		d.Outputs[1].SwayNS = sway
		c.hear(event.DrillAnswered, "drill:response", d)
		assert.Equal(t, want, c.verdict("response/upright"), "what jitter does is rest")
	}
	c := starter(t)
	d := c.tilt("response/upright/1/level", "builder", "upright", map[int]went{2: kicks(75)})
	c.hear(event.DrillAnswered, "drill:response", d)
	assert.Equal(t, claim.VerdictOpen, c.verdict("response/upright"), "only the tilt counts")
}

// elevons share roll and pitch.
const elevons = `sheet: 1
model: Wing
taps: {main: {kind: bus}, leads: {kind: pulses}}
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  4: {name: rudder, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  11: {name: sel, kind: switch, positions: {back: 988, front: 2012}}
stabiliser:
  windows: {from: manual}
  modes:
    rate: {when: [{sel: [0, 1500]}], wanted_at: [{sel: back}], does: returns}
    level: {when: [{sel: [1500, 3000]}], wanted_at: [{sel: front}], does: stays}
outputs:
  1: {surface: left elevon, moved_by: {aileron: 0.5, elevator: -0.5}, corrects: [roll, pitch]}
  2: {surface: right elevon, moved_by: {aileron: 0.5, elevator: 0.5}, corrects: [roll, pitch]}
`

// Elevons move against each other: what they do adds up, it does not cancel.
func TestElevonsAddUp(t *testing.T) {
	c := open(t, elevons)
	c.hear(event.DrillAnswered, "drill:response", c.tilt("response/level/1/there", "count", "level", map[int]went{1: stays(-20), 2: stays(20)}))
	k := c.claim("response/level")
	assert.Equal(t, claim.VerdictRight, k.Verdict)
	assert.Equal(t, map[string]int64{"peak_ns": 40_000, "late_ns": 40_000}, k.Figures)
	c = open(t, elevons)
	c.hear(event.DrillAnswered, "drill:response", c.tilt("response/level/1/there", "builder", "level", map[int]went{1: kicks(-4.9), 2: kicks(4.9)}))
	assert.Equal(t, claim.VerdictWrong, c.verdict("response/level"), "no output moved by more than jitter does")
}

// Yaw fades even where a stabiliser levels.
func TestLevellingCantBeToldByYaw(t *testing.T) {
	yaw := strings.ReplaceAll(elevons, "[roll, pitch]", "[yaw]")
	for did, want := range map[went]claim.Verdict{kicks(40): claim.VerdictOpen, stays(40): claim.VerdictRight} {
		c := open(t, yaw)
		c.hear(event.DrillAnswered, "drill:response", c.tilt("response/level/1/there", "count", "level", map[int]went{1: did}))
		assert.Equal(t, want, c.verdict("response/level"))
	}
}

// A model that is let go at once looks like a kick: one accuses nobody, nor do two with
// something changed between.
func TestAKickWhereAnAnswerShouldStayIsSeenTwice(t *testing.T) {
	c := starter(t)
	c.responds("upright", "count", kicks(75))
	assert.Contains(t, c.claim("response/upright").Sentence, "so does a tilt that is let go at once: do it again")
	c.hear(event.Reopened, "session", event.ReopenData{What: "outputs"})
	c.responds("upright", "count", kicks(75))
	assert.Equal(t, claim.VerdictOpen, c.verdict("response/upright"))
	c.responds("upright", "count", kicks(75))
	assert.Equal(t, claim.VerdictWrong, c.verdict("response/upright"))

	c = starter(t)
	c.responds("upright", "count", kicks(75))
	c.responds("upright", "count", stays(75))
	assert.Equal(t, claim.VerdictRight, c.verdict("response/upright"))
}

// A V-tail that is yawed instead of pitched is kicked in every mode.
func TestAKickOfAVTailMayBeAYaw(t *testing.T) {
	tail := strings.ReplaceAll(strings.ReplaceAll(elevons, "[roll, pitch]", "[pitch, yaw]"), "aileron: 0.5, ", "rudder: 0.5, ")
	for _, x := range []struct {
		name  string
		sheet string
		did   [2]went
		level claim.Verdict
		rate  claim.Verdict
	}{
		{"pitched", tail, [2]went{kicks(-40), kicks(40)}, claim.VerdictWrong, claim.VerdictRight},
		{"yawed", tail, [2]went{kicks(40), kicks(40)}, claim.VerdictOpen, claim.VerdictOpen},
		{"as much of either", tail, [2]went{kicks(40), kicks(0)}, claim.VerdictOpen, claim.VerdictOpen},
		{"more of a pitch", tail, [2]went{kicks(-40), kicks(2)}, claim.VerdictWrong, claim.VerdictRight},
		{"it stays", tail, [2]went{stays(40), stays(40)}, claim.VerdictRight, claim.VerdictWrong},
		{"nobody knows what moves it", strings.ReplaceAll(tail, "rudder: 0.5", `rudder: "?"`), [2]went{kicks(-40), kicks(40)}, claim.VerdictOpen, claim.VerdictOpen},
		{"elevons", elevons, [2]went{kicks(40), kicks(40)}, claim.VerdictWrong, claim.VerdictRight},
	} {
		for mode, want := range map[string]claim.Verdict{"level": x.level, "rate": x.rate} {
			c := open(t, x.sheet)
			for range 2 {
				c.hear(event.DrillAnswered, "drill:response", c.tilt("response/"+mode+"/1/there", "builder", mode, map[int]went{1: x.did[0], 2: x.did[1]}))
			}
			k := c.claim("response/" + mode)
			assert.Equal(t, want, k.Verdict, "%s, %s: %s", x.name, mode, k.Sentence)
			if want == claim.VerdictOpen {
				assert.Contains(t, k.Sentence, "that may have been a yaw")
			}
		}
	}
}

// Only what the sheet says of a mode that is wanted somewhere is claimed.
func TestWhatIsClaimedOfResponses(t *testing.T) {
	ids := func(c *court) (list []string) {
		for _, k := range c.book.Claims() {
			if strings.HasPrefix(k.ID, "response/") {
				require.Equal(t, drill.Response, k.Settle.Drill)
				list = append(list, k.ID)
			}
		}
		return list
	}
	assert.Equal(t, []string{"response/damping", "response/plain", "response/upright"}, ids(starter(t)))
	assert.Equal(t, []string{"response/rate"}, ids(open(t, strings.Replace(elevons, ", wanted_at: [{sel: front}]", "", 1))))
	assert.Empty(t, ids(open(t, strings.ReplaceAll(elevons, ", corrects: [roll, pitch]", ""))))
	assert.Empty(t, ids(open(t, strings.Replace(elevons, ", leads: {kind: pulses}", "", 1))))
}

func TestResponsesAreReopened(t *testing.T) {
	for what, want := range map[string]claim.Verdict{"inner": claim.VerdictStale, "gain": claim.VerdictStale,
		claim.TopicOutputs: claim.VerdictStale, claim.TopicAll: claim.VerdictStale, "rudder": claim.VerdictRight} {
		c := starter(t)
		c.responds("upright", "count", stays(75))
		c.hear(event.Reopened, "session", event.ReopenData{What: what})
		assert.Equal(t, want, c.verdict("response/upright"), what)
	}
}

// An output that followed no stick may do so once the outputs were looked after; what
// was done elsewhere cures nothing.
func TestResponsesOfAnOutputThatDidNotFollow(t *testing.T) {
	const stuck = "does not follow its stick"
	for what, want := range map[string]claim.Verdict{claim.TopicOutputs: claim.VerdictRight, claim.TopicAll: claim.VerdictRight, "inner": claim.VerdictOpen} {
		c := starter(t)
		c.hear(event.OutputFollows, "output:2", event.OutputFollowsData{Terms: []event.MixTerm{{Channel: 2, PPM: 0, HalfIntervalPPM: 50_000}}})
		c.responds("upright", "count", stays(75))
		assert.Contains(t, c.claim("response/upright").Sentence, stuck, what)
		c.hear(event.Reopened, "session", event.ReopenData{What: what})
		c.responds("upright", "count", stays(75))
		assert.Equal(t, want, c.verdict("response/upright"), "%s: %s", what, c.claim("response/upright").Sentence)
	}
}
