package claim_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
)

// over is a stick of the correction drill held to its end: outputs in µs.
func (c *court) over(axis string, outputs map[int]float64) {
	c.t.Helper()
	stick, end, ok := c.sheet.Reference(axis)
	require.True(c.t, ok)
	moved := map[int]went{}
	for n, us := range outputs {
		moved[n] = stays(us)
	}
	d := c.tilt("correction/"+axis+"/stick", "wire", "upright", moved)
	d.Channels[stick.Number-1].ToNS = end.Width
	c.hear(event.DrillAnswered, "drill:correction", d)
}

// tilts is the first tilt about an axis, and the other one.
func (c *court) tilts(axis, by string, there, other map[int]went) {
	c.t.Helper()
	c.tiltsIn("upright", axis, by, there, other)
}

func (c *court) tiltsIn(mode, axis, by string, there, other map[int]went) {
	c.t.Helper()
	c.hear(event.DrillAnswered, "drill:correction", c.tilt("correction/"+axis+"/there", by, mode, there))
	c.hear(event.DrillAnswered, "drill:correction", c.tilt("correction/"+axis+"/other", by, mode, other))
}

const (
	onPitch = "correction/pitch/output:2"
	onRoll  = "correction/roll/output:1"
	onYaw   = "correction/yaw/output:4"
)

// The elevator of the starter's sheet: stick back moves it by +512 µs, so that the tail
// raised must move it up too, the nose raised down.
func TestTheSenseOfACorrection(t *testing.T) {
	none := went{}
	for _, x := range []struct {
		name         string
		stick        float64
		there, other went
		want         claim.Verdict
		says         string
	}{
		{"right", 512, stays(75), stays(-75), claim.VerdictRight, "tail raised, output 2 (elevator) moved 75 µs as with elevator " +
			"stick back; nose raised, 75 µs the other way"},
		{"right, an output that runs the other way", -512, stays(-75), stays(75), claim.VerdictRight, "75 µs"},
		{"the least that is right", 512, stays(15), stays(-15), claim.VerdictRight, ""},
		{"little to the one side", 512, stays(14.9), stays(-75), claim.VerdictOpen, "one side only"},
		{"little to the other", 512, stays(75), stays(-14.9), claim.VerdictOpen, "one side only"},
		{"reversed", 512, stays(-84), stays(80), claim.VerdictWrong, "tail raised, output 2 (elevator) moved 84 µs the way " +
			"elevator stick forward moves it: the correction is reversed: reverse the pitch correction in the stabiliser, not " +
			"the servo (tilted by Ann on a spoken count)"},
		{"reversed, an output that runs the other way", -512, stays(84), stays(-80), claim.VerdictWrong,
			"tail raised, output 2 (elevator) moved 84 µs the way elevator stick forward"},
		{"the least that is reversed", 512, stays(-15), stays(15), claim.VerdictWrong,
			"tail raised, output 2 (elevator) moved 15 µs the way elevator stick forward moves it"},
		{"reversed, seen at one tilt", 512, stays(-75), none, claim.VerdictOpen, "to one side only, and the wrong way, by 75 µs and 0 µs"},
		{"reversed, seen at the other", 512, stays(-14.9), stays(75), claim.VerdictOpen, "to one side only, and the wrong way"},
		{"reversed, hardly at the other", 512, stays(-75), stays(14.9), claim.VerdictOpen, "to one side only, and the wrong way"},
		{"too little to be reversed", 512, stays(-14.9), stays(14.9), claim.VerdictOpen, "too little to tell which way: tilt it farther"},
		{"twice the same way", 512, stays(75), stays(75), claim.VerdictOpen, "the same way"},
		{"twice the other way", 512, stays(-75), stays(-75), claim.VerdictOpen, "the same way"},
		{"it does not last", 512, kicks(75), kicks(-75), claim.VerdictOpen, "did not last"},
		{"reversed, and it does not last", 512, kicks(-75), kicks(75), claim.VerdictWrong, "reversed"},
		{"the kick goes the other way, what stays is right", 512, went{-60, 40, 40}, went{-40, 60, -40}, claim.VerdictOpen, "to both sides"},
		{"to and fro", 512, went{-38, 75, 0}, stays(-75), claim.VerdictOpen, "to both sides"},
		{"to and fro by a little", 512, went{-37, 75, 0}, stays(-75), claim.VerdictOpen, "did not last"},
		{"there and back too far, and held there", 512, went{-38, 75, -38}, stays(-75), claim.VerdictOpen, "to both sides"},
		{"the stick does little to it", 29.9, stays(75), stays(-75), claim.VerdictOpen, "too little to compare"},
		{"the stick does enough", 30, stays(75), stays(-75), claim.VerdictRight, ""},
		{"the stick does the least, reversed", -30, stays(75), stays(-75), claim.VerdictWrong, ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.over("pitch", map[int]float64{2: x.stick})
			c.tilts("pitch", "count", map[int]went{2: x.there}, map[int]went{2: x.other})
			k := c.claim(onPitch)
			assert.Equal(t, x.want, k.Verdict, k.Sentence)
			assert.Contains(t, k.Sentence, x.says)
			delete(c.verdicts(), onPitch)
			for id := range c.verdicts() {
				assert.Equal(t, onPitch, id, "nothing else is judged")
			}
		})
	}
	c := starter(t)
	c.over("pitch", map[int]float64{2: 512})
	c.tilts("pitch", "count", map[int]went{2: stays(75)}, map[int]went{2: stays(-70)})
	assert.Equal(t, map[string]int64{"stick_ns": 512_000, "there_ns": 75_000, "other_ns": -70_000}, c.claim(onPitch).Figures)
	c.tilts("pitch", "count", map[int]went{2: {0, 90, 40}}, map[int]went{2: {-90, 0, -14.9}})
	assert.Equal(t, int64(75_000), c.claim(onPitch).Figures["there_ns"])
	c.tilts("pitch", "count", map[int]went{2: {0, 90, 40}}, map[int]went{2: {-90, 0, -30}})
	assert.Equal(t, map[string]int64{"stick_ns": 512_000, "there_ns": 40_000, "other_ns": -30_000}, c.claim(onPitch).Figures, "what stayed, where answers stay")
}

// Yaw answers to a rate: a kick that fades. The rudder stick's right end narrows or
// widens the pulse as it will.
func TestTheSenseOfYaw(t *testing.T) {
	for _, x := range []struct {
		name         string
		stick        float64
		there, other went
		want         claim.Verdict
		says         string
	}{
		{"right", 512, kicks(60), kicks(-60), claim.VerdictRight, "nose jerked left, output 4 (rudder) moved 60 µs as with rudder stick right"},
		{"reversed", 512, kicks(-60), kicks(60), claim.VerdictWrong, "nose jerked left, output 4 (rudder) moved 60 µs the way rudder stick left moves it"},
		{"it fades to less than half", 512, went{0, 60, 29.9}, kicks(-60), claim.VerdictRight, ""},
		{"it stays, as where a course is held", 512, stays(60), stays(-60), claim.VerdictRight, "60 µs as with rudder stick right"},
		{"it stays, reversed", 512, stays(-60), stays(60), claim.VerdictWrong, "the way rudder stick left moves it"},
		{"swung back at once", 512, went{-31, 60, 0}, kicks(-60), claim.VerdictOpen, "to both sides"},
		{"swung back a little", 512, went{-30, 60, 0}, kicks(-60), claim.VerdictRight, ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.over("yaw", map[int]float64{4: x.stick})
			c.tilts("yaw", "count", map[int]went{4: x.there}, map[int]went{4: x.other})
			assert.Equal(t, x.want, c.verdict(onYaw), c.claim(onYaw).Sentence)
			assert.Contains(t, c.claim(onYaw).Sentence, x.says)
		})
	}
}

// In a mode that corrects a rate, and where the sheet says nothing, a kick will do.
func TestWithoutLevellingAKickTells(t *testing.T) {
	for mode, want := range map[string]claim.Verdict{"upright": claim.VerdictOpen, "damping": claim.VerdictRight,
		"hold-course": claim.VerdictRight, "": claim.VerdictRight, "plain": claim.VerdictOpen} {
		c := starter(t)
		c.over("pitch", map[int]float64{2: 512})
		c.tiltsIn(mode, "pitch", "count", map[int]went{2: kicks(75)}, map[int]went{2: kicks(-75)})
		assert.Equal(t, want, c.verdict(onPitch), mode)
	}
	c := starter(t)
	c.over("pitch", map[int]float64{2: 512})
	c.tiltsIn("plain", "pitch", "builder", nil, nil)
	assert.Equal(t, claim.VerdictOpen, c.verdict(onPitch))
	assert.Contains(t, c.claim(onPitch).Sentence, "in which nothing is to be corrected")
}

// Nobody tilted, or nothing answers: on a spoken count that can't be known, and that
// another tilt was answered proves nothing of this one.
func TestNoAnswerAtAll(t *testing.T) {
	const alone, beside = "the stabiliser is off, its gain is at zero", "the stabiliser is on, since it answers about another axis"
	roll := func(c *court, us float64) {
		c.over("roll", map[int]float64{1: 512})
		c.tilts("roll", "count", map[int]went{1: stays(us)}, map[int]went{1: stays(-us)})
	}
	none := func(*court) {}
	answered := func(c *court) { roll(c, 30) }
	for _, x := range []struct {
		name          string
		by            string
		most          float64
		mode          string
		before, after func(c *court)
		want          claim.Verdict
		says          string
	}{
		{"by a count", "count", 0, "upright", none, none, claim.VerdictOpen, "nobody tilted"},
		{"confirmed by a tap", "builder", 4.9, "upright", none, none, claim.VerdictWrong, alone},
		{"confirmed, but it was a small tilt", "builder", 5, "upright", none, none, claim.VerdictOpen, "tilt it farther; if no more comes of it, its gain is low"},
		{"confirmed, but too little", "builder", 14.9, "upright", none, none, claim.VerdictOpen, "too little to tell which way"},
		{"another axis was answered", "count", 0, "upright", none, answered, claim.VerdictOpen, "nobody tilted"},
		{"another axis was answered before", "count", 0, "upright", answered, none, claim.VerdictOpen, "nobody tilted"},
		{"confirmed, another axis is answered", "builder", 0, "upright", none, answered, claim.VerdictWrong, beside},
		{"confirmed, another axis was", "builder", 0, "upright", answered, none, claim.VerdictWrong, beside},
		{"confirmed, another axis a little", "builder", 0, "upright", none, func(c *court) { roll(c, 29.9) }, claim.VerdictWrong, alone},
		{"another axis, in another run", "builder", 0, "upright", none, func(c *court) { c.began("correction"); roll(c, 75) }, claim.VerdictWrong, alone},
		{"another drill began", "builder", 0, "upright", none, func(c *court) { c.began("mode"); roll(c, 75) }, claim.VerdictWrong, beside},
		{"a rate, by a slow hand", "builder", 5, "damping", answered, none, claim.VerdictOpen, "tilt it more quickly"},
		{"a rate, and nothing at all", "builder", 4.9, "damping", none, none, claim.VerdictWrong, alone},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.began("correction")
			x.before(c)
			c.over("pitch", map[int]float64{2: 512})
			c.tiltsIn(x.mode, "pitch", x.by, map[int]went{2: stays(x.most)}, map[int]went{2: stays(-x.most)})
			x.after(c)
			assert.Equal(t, x.want, c.verdict(onPitch), c.claim(onPitch).Sentence)
			assert.Contains(t, c.claim(onPitch).Sentence, x.says)
		})
	}
	for at := range 2 {
		c := starter(t)
		c.over("pitch", map[int]float64{2: 512})
		by := []string{"count", "count"}
		by[at] = "builder"
		c.hear(event.DrillAnswered, "drill:correction", c.tilt("correction/pitch/there", by[0], "upright", nil))
		c.hear(event.DrillAnswered, "drill:correction", c.tilt("correction/pitch/other", by[1], "upright", nil))
		assert.Equal(t, claim.VerdictWrong, c.verdict(onPitch), "one tap is enough")
	}
	for _, what := range []string{"elevator", claim.TopicOutputs} {
		c := starter(t)
		c.over("pitch", map[int]float64{2: 512})
		c.tilts("pitch", "builder", nil, nil)
		c.hear(event.Reopened, "session", event.ReopenData{What: what})
		answered(c)
		assert.Equal(t, claim.VerdictOpen, c.verdict(onPitch), "%s was changed: what was dead before may not be any more", what)
	}
}

// wing has elevons, output 1 the left one, 2 the right one: stick back raises both,
// which are mounted as mirror images; stick left raises the left one.
func wing(t *testing.T) *court {
	c := open(t, elevons)
	c.over("pitch", map[int]float64{1: -256, 2: 256})
	c.over("roll", map[int]float64{1: -256, 2: -256})
	return c
}

func (c *court) wingTilts(axis, by string, there, other [2]float64) {
	c.t.Helper()
	c.tiltsIn("level", axis, by, map[int]went{1: stays(there[0]), 2: stays(there[1])}, map[int]went{1: stays(other[0]), 2: stays(other[1])})
}

// One reversed output of a V-tail makes a tilt look like a yaw, which stays where a course
// is held: then only a tap shows it. And what fades where the stabiliser levels is no pitch.
func TestWhatFadesIsNoPitch(t *testing.T) {
	tail := strings.ReplaceAll(strings.ReplaceAll(elevons, "[roll, pitch]", "[pitch, yaw]"), "aileron: 0.5, ", "rudder: 0.5, ")
	for _, x := range []struct {
		did  [2]went
		by   string
		want claim.Verdict
		says string
	}{
		{[2]went{stays(40), stays(40)}, "count", claim.VerdictOpen, "looked like a yaw"},
		{[2]went{stays(40), stays(40)}, "builder", claim.VerdictWrong, "reversed"},
		{[2]went{kicks(40), kicks(40)}, "count", claim.VerdictOpen, "looked like a yaw"},
		{[2]went{{0, 60, 20}, {-16, 32.1, -16}}, "count", claim.VerdictWrong, "reversed"},
	} {
		c := open(t, tail)
		c.over("pitch", map[int]float64{1: -256, 2: 256})
		c.over("yaw", map[int]float64{1: 256, 2: 256})
		c.tiltsIn("level", "pitch", x.by, map[int]went{1: x.did[0], 2: x.did[1]}, map[int]went{1: x.did[0].mirrored(), 2: x.did[1].mirrored()})
		assert.Equal(t, x.want, c.verdict("correction/pitch/output:1"))
		assert.Contains(t, c.claim("correction/pitch/output:1").Sentence, x.says)
	}
	// And the other way round: a kick that fades is no pitch where the stabiliser levels.
	for mode, want := range map[string]claim.Verdict{"level": claim.VerdictWrong, "rate": claim.VerdictOpen} {
		c := open(t, tail)
		c.over("pitch", map[int]float64{1: -256, 2: 256})
		c.over("yaw", map[int]float64{1: 256, 2: 256})
		c.tiltsIn(mode, "yaw", "count", map[int]went{1: kicks(-40), 2: kicks(40)}, map[int]went{1: kicks(40), 2: kicks(-40)})
		assert.Equal(t, want, c.verdict("correction/yaw/output:1"), mode)
		assert.Equal(t, want == claim.VerdictOpen, c.verdict("correction/yaw/output:2") == claim.VerdictOpen, mode)
	}
}

// A model that was rolled when the tail was to be raised: the elevator stands still, the
// ailerons answer.
func TestTheWrongAxisOnAPlainWing(t *testing.T) {
	for us, says := range map[float64]string{30: "looked like a roll", 29.9: "nobody tilted it"} {
		c := starter(t)
		c.over("pitch", map[int]float64{2: 512})
		c.over("roll", map[int]float64{1: -512})
		c.tilts("pitch", "count", map[int]went{1: stays(us)}, map[int]went{1: stays(-us)})
		assert.Contains(t, c.claim(onPitch).Sentence, says)
	}
}

// What makes a comparison worth nothing.
func TestCorrectionsThatProveNothing(t *testing.T) {
	good := map[int]went{2: stays(75)}
	bad := map[int]went{2: stays(-75)}
	for want, play := range map[string]func(c *court){
		"tail raised was not seen": func(c *court) {
			c.over("pitch", map[int]float64{2: 512})
			c.hear(event.DrillAnswered, "drill:correction", c.tilt("correction/pitch/other", "count", "upright", bad))
		},
		"tail raised was not seen: do": func(c *court) {
			c.over("pitch", map[int]float64{2: 512})
			c.hear(event.DrillAnswered, "drill:correction", c.tilt("correction/pitch/there", "count", "upright", good))
			c.began("correction")
			c.over("pitch", map[int]float64{2: 512})
			c.hear(event.DrillAnswered, "drill:correction", c.tilt("correction/pitch/other", "count", "upright", bad))
		},
		"with the stick was not seen": func(c *court) { c.tilts("pitch", "count", good, bad) },
		"with the stick was not seen: hold": func(c *court) { // the other end, or not far enough
			d := c.tilt("correction/pitch/stick", "builder", "upright", map[int]went{2: stays(-512)})
			d.Channels[1].ToNS = 2_012_000 - 60_001
			c.hear(event.DrillAnswered, "drill:correction", d)
			c.tilts("pitch", "count", good, bad)
		},
		"with the stick was not seen: hold it": func(c *court) {
			d := c.tilt("correction/pitch/stick", "builder", "upright", map[int]went{2: stays(512)})
			d.Channels[1].ToNS, d.Suspect = 2_012_000, true
			c.hear(event.DrillAnswered, "drill:correction", d)
			c.tilts("pitch", "count", good, bad)
		},
		"tail raised: elevator moved on the bus": func(c *court) {
			c.over("pitch", map[int]float64{2: 512})
			d := c.tilt("correction/pitch/there", "count", "upright", bad)
			d.Channels[1].MostNS += 8_001
			c.hear(event.DrillAnswered, "drill:correction", d)
			c.hear(event.DrillAnswered, "drill:correction", c.tilt("correction/pitch/other", "count", "upright", good))
		},
		"nose raised: the receiver did not hear": func(c *court) {
			c.over("pitch", map[int]float64{2: 512})
			c.hear(event.DrillAnswered, "drill:correction", c.tilt("correction/pitch/there", "count", "upright", bad))
			d := c.tilt("correction/pitch/other", "count", "upright", good)
			d.Signal = event.SignalFailsafe
			c.hear(event.DrillAnswered, "drill:correction", d)
		},
		"tail raised: no output that corrects this sent pulses": func(c *court) {
			c.over("pitch", map[int]float64{2: 512})
			c.over("roll", map[int]float64{1: 512})
			c.tilts("roll", "builder", map[int]went{1: stays(75)}, map[int]went{1: stays(-75)})
			d := c.tilt("correction/pitch/there", "builder", "upright", nil)
			d.Outputs[1].EndMeanNS = 0
			c.hear(event.DrillAnswered, "drill:correction", d)
			c.hear(event.DrillAnswered, "drill:correction", c.tilt("correction/pitch/other", "builder", "upright", nil))
		},
	} {
		t.Run(want, func(t *testing.T) {
			c := starter(t)
			play(c)
			assert.Equal(t, claim.VerdictOpen, c.verdict(onPitch))
			assert.Contains(t, c.claim(onPitch).Sentence, want)
		})
	}
	c := starter(t)
	d := c.tilt("correction/pitch/stick", "builder", "upright", map[int]went{2: stays(512)})
	d.Channels[1].ToNS = 2_012_000 - 60_000
	c.hear(event.DrillAnswered, "drill:correction", d)
	c.tilts("pitch", "count", good, bad)
	assert.Equal(t, claim.VerdictRight, c.verdict(onPitch), "near enough to its end")
}

// That a surface goes the right way rests on the eye, and on the stick having been held
// over meanwhile.
func TestTheEye(t *testing.T) {
	for _, x := range []struct {
		name   string
		change func(*event.DrillAnsweredData)
		want   claim.Verdict
	}{
		{"held over", func(*event.DrillAnsweredData) {}, claim.VerdictRight},
		{"just far enough", func(d *event.DrillAnsweredData) { d.Channels[1].MostNS = 2_012_000 - 60_000 }, claim.VerdictRight},
		{"not far enough", func(d *event.DrillAnsweredData) { d.Channels[1].MostNS = 2_012_000 - 60_001 }, claim.VerdictOpen},
		{"the other end", func(d *event.DrillAnsweredData) { d.Channels[1].MostNS, d.Channels[1].LeastNS = 1_500_000, 988_000 }, claim.VerdictOpen},
		{"not heard", func(d *event.DrillAnsweredData) { d.Signal = event.SignalMissed }, claim.VerdictOpen},
		{"nobody said so", func(d *event.DrillAnsweredData) { d.By = "wire" }, claim.VerdictOpen},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			d := c.tilt("correction/pitch/eye", "builder", "upright", nil)
			d.Channels[1].MostNS = 2_012_000
			x.change(&d)
			c.hear(event.DrillAnswered, "drill:correction", d)
			assert.Equal(t, x.want, c.verdict("stick/pitch"))
			if x.want == claim.VerdictRight {
				assert.Equal(t, "with elevator stick back, the elevator goes up: Ann saw it once; that rests on the eye", c.claim("stick/pitch").Sentence)
			}
		})
	}
}

func TestWhatIsClaimedOfCorrections(t *testing.T) {
	ids := func(c *court) (list []string) {
		for _, k := range c.book.Claims() {
			if strings.HasPrefix(k.ID, "correction/") || strings.HasPrefix(k.ID, "stick/") {
				require.Equal(t, drill.Correction, k.Settle.Drill)
				list = append(list, k.ID)
			}
		}
		return list
	}
	assert.Equal(t, []string{onPitch, "stick/pitch", onRoll, "stick/roll", onYaw, "stick/yaw"}, ids(starter(t)))
	assert.Equal(t, []string{"correction/pitch/output:1", "correction/pitch/output:2", "stick/pitch",
		"correction/roll/output:1", "correction/roll/output:2", "stick/roll"}, ids(open(t, elevons)))
	lift := strings.ReplaceAll(strings.ReplaceAll(elevons, "elevator", "lift"), "corrects: [roll, pitch]", "corrects: [pitch]")
	assert.Empty(t, ids(open(t, lift)), "no stick to compare with")
	assert.Equal(t, "output 2 (elevator) answers tail raised as elevator stick back, and nose raised the other way", starter(t).claim(onPitch).Sentence)
}

func TestCorrectionsAreReopened(t *testing.T) {
	for what, want := range map[string]claim.Verdict{"elevator": claim.VerdictStale, claim.TopicOutputs: claim.VerdictStale,
		claim.TopicAll: claim.VerdictStale, "rudder": claim.VerdictRight} {
		c := starter(t)
		c.over("pitch", map[int]float64{2: 512})
		c.tilts("pitch", "count", map[int]went{2: stays(75)}, map[int]went{2: stays(-75)})
		c.hear(event.Reopened, "session", event.ReopenData{What: what})
		assert.Equal(t, want, c.verdict(onPitch), what)
		c.tilts("pitch", "count", map[int]went{2: stays(75)}, map[int]went{2: stays(-75)})
		known := what == "elevator" || what == "rudder"
		assert.Equal(t, known, c.verdict(onPitch) == claim.VerdictRight, "%s: the stick is to be seen anew", what)
	}
}
