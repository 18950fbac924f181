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

// watched describes a stretch of a bus with a frame every 10 ms, none missed, in which
// sticks moved for a third of the time in one spell each minute, or something like it.
func (c *court) watched(live unit.Duration, change ...func(*event.ExposureData)) {
	d := event.ExposureData{
		Tap: "main", LiveNS: live, MovingNS: live / 3, Spells: 1 + int64(live/unit.Minute), Moved: []int{},
		LinkFigures: event.LinkFigures{LinkFrames: int64(live / (10 * unit.Millisecond)), LinkNS: live},
	}
	for _, f := range change {
		f(&d)
	}
	c.hear(event.BusExposure, "tap:"+d.Tap, d)
}

func missed(frames int64) func(*event.ExposureData) {
	return func(d *event.ExposureData) { d.LinkMissed = frames }
}

func still(d *event.ExposureData) { d.MovingNS, d.Spells = 0, 0 }

// misses is a run of missed frames with what the link heard so far.
func (c *court) misses(heard unit.Duration, missed int64, loss bool) {
	c.hear(event.AirMissed, "tap:main", event.FramesMissingData{Frames: 2, SpanNS: 10 * unit.Millisecond, Loss: loss, LinkFigures: event.LinkFigures{
		LinkFrames: int64(heard / (10 * unit.Millisecond)), LinkMissed: missed, LinkNS: heard,
	}})
}

func (c *court) reopens(what string) {
	c.hear(event.Reopened, "session", event.ReopenData{What: what})
}

func (c *court) ends() { c.hear(event.SessionEnded, "session", nil) }

// The sheet allows 0.1 % of the frames: 6 of the 6000 of a minute.
func TestMissed(t *testing.T) {
	const minute = unit.Minute
	for _, x := range []struct {
		name string
		hear func(*court)
		want claim.Verdict
	}{
		{"the limit itself, in a minute", func(c *court) { c.watched(minute, missed(6)) }, claim.VerdictRight},
		{"one more, but fewer than ten tell no share", func(c *court) { c.watched(minute, missed(7)) }, claim.VerdictOpen},
		{"nine", func(c *court) { c.watched(minute, missed(9)) }, claim.VerdictOpen},
		{"ten", func(c *court) { c.watched(minute, missed(10)) }, claim.VerdictWrong},
		{"ten are few in an hour", func(c *court) { c.watched(60*minute, missed(10)) }, claim.VerdictRight},
		{"nothing moved", func(c *court) { c.watched(minute, still) }, claim.VerdictOpen},
		{"nothing moved, and too many", func(c *court) { c.watched(minute, still, missed(10)) }, claim.VerdictWrong},
		{"only the heartbeat", func(c *court) { c.watched(minute, still, func(d *event.ExposureData) { d.BeatingNS = 1 }) }, claim.VerdictRight},
		{"only a switch", func(c *court) { c.watched(minute, still, func(d *event.ExposureData) { d.Moved = []int{10} }) }, claim.VerdictRight},
		{"less than a minute says nothing good", func(c *court) { c.watched(minute - 1) }, claim.VerdictOpen},
		{"nor anything bad", func(c *court) { c.watched(minute-1, missed(700)) }, claim.VerdictOpen},
		{"two stretches make a minute", func(c *court) { c.watched(minute / 2); c.watched(minute / 2) }, claim.VerdictRight},
		{"and one sum", func(c *court) { c.watched(minute/2, missed(10)); c.watched(minute / 2) }, claim.VerdictWrong},
		{"of two taps each by itself", func(c *court) {
			c.watched(minute / 2)
			c.watched(minute/2, func(d *event.ExposureData) { d.Tap = "second" })
		}, claim.VerdictOpen},
		{"too many, while listening goes on", func(c *court) { c.misses(minute, 10, false) }, claim.VerdictWrong},
		{"few enough so far", func(c *court) { c.misses(minute, 6, false) }, claim.VerdictOpen},
		{"too soon to say", func(c *court) { c.misses(minute-1, 700, false) }, claim.VerdictOpen},
		{"what a loss took is none", func(c *court) { c.misses(minute, 700, true) }, claim.VerdictOpen},
		{"with the stretches before", func(c *court) { c.watched(minute/2, missed(6)); c.misses(minute/2, 4, false) }, claim.VerdictWrong},
		{"a gap on the wire is none", func(c *court) {
			c.hear(event.WireGap, "tap:main", event.FramesMissingData{Frames: 700, LinkFigures: event.LinkFigures{LinkFrames: 6000, LinkMissed: 700, LinkNS: minute}})
		}, claim.VerdictOpen},
		{"reopened: what was before does not count",
			func(c *court) { c.watched(minute, missed(700)); c.reopens(claim.TopicAll); c.watched(minute - 1) }, claim.VerdictOpen},
		{"reopened, and heard for long enough", func(c *court) { c.watched(minute, missed(700)); c.reopens(claim.TopicAll); c.watched(minute) }, claim.VerdictRight},
		{"a stretch that began before it", func(c *court) {
			c.reopens(claim.TopicAll)
			c.now = c.now.Add(-unit.Second) // it ends with the reopening
			c.watched(minute, missed(700))
		}, claim.VerdictOpen},
		{"a run from before it", func(c *court) {
			c.reopens(claim.TopicAll)
			c.now = c.now.Add(-unit.Second)
			c.misses(minute, 700, false)
		}, claim.VerdictOpen},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			x.hear(c)
			assert.Equal(t, x.want, c.verdict("link/missed"), c.claim("link/missed").Sentence)
		})
	}
}

func TestMissedSaysWhatShare(t *testing.T) {
	c := starter(t)
	c.ends()
	assert.Equal(t, "the share of frames missed on the air is not known: watched for 0 s of 1:00 so far; nothing ever "+
		"moved, as without a signal on some receivers: stir a stick", c.claim("link/missed").Sentence)
	c.watched(unit.Minute, missed(12))
	k := c.claim("link/missed")
	assert.Contains(t, k.Sentence, "0.2 % of the frames were missed on the air")
	assert.Contains(t, k.Sentence, "the sheet allows 0.1 %: keep the transmitter 2 to 3 m away")
	assert.Equal(t, map[string]int64{"missed_ppm": 2000, "missed_frames": 12, "frames": 6000, "heard_ns": 60_000_000_000}, k.Figures)
}

// A freeze shows only while something is known to move.
func TestStillness(t *testing.T) {
	const twenty = 20 * unit.Second
	moving := func(d unit.Duration, spells int64) func(*event.ExposureData) {
		return func(w *event.ExposureData) { w.MovingNS, w.Spells = d, spells }
	}
	beating := func(d unit.Duration) func(*event.ExposureData) {
		return func(w *event.ExposureData) { w.MovingNS, w.Spells, w.BeatingNS = 0, 0, d }
	}
	for _, x := range []struct {
		name string
		hear func(*court)
		want claim.Verdict
		says string
	}{
		{"an hour in which nothing moved", func(c *court) { c.watched(60*unit.Minute, moving(0, 0)) }, claim.VerdictOpen,
			"values were not seen to freeze so far: 0 s of known movement in 0 spells, 20 s in 3 are needed: stir the sticks, or send a heartbeat"},
		{"20 s in three spells", func(c *court) { c.watched(twenty, moving(twenty, 3)) }, claim.VerdictRight,
			"values never froze in 20.00 s of known movement in 3 spells; at rest a hold goes unseen, since no heartbeat was seen"},
		{"a little less", func(c *court) { c.watched(unit.Minute, moving(twenty-1, 3)) }, claim.VerdictOpen,
			"19 s of known movement in 3 spells, 20 s in 3 are needed"},
		{"in two", func(c *court) { c.watched(unit.Minute, moving(twenty, 2)) }, claim.VerdictOpen,
			"20 s of known movement in 2 spells, 3 spells are needed: let the sticks rest"},
		{"in all", func(c *court) { c.watched(twenty, moving(twenty/2, 1)); c.watched(twenty, moving(twenty/2, 2)) }, claim.VerdictRight, "in 3 spells"},
		{"a heartbeat needs no spells", func(c *court) { c.watched(twenty, beating(twenty)) }, claim.VerdictRight,
			"values never froze in 20.00 s in which the heartbeat beat"},
		{"but its time", func(c *court) { c.watched(twenty, beating(twenty-1)) }, claim.VerdictOpen, "known movement"},
		{"it froze", func(c *court) {
			c.watched(twenty, moving(twenty, 3))
			c.hear(event.ValuesStill, "tap:main", event.ValuesStillData{Tap: "main", ForNS: unit.Second, Because: "stirred"})
			c.watched(twenty, moving(twenty, 3))
		}, claim.VerdictWrong, "all values froze while sticks were moving, for 1.00 s, and then leapt, without a flag"},
		{"what moves again has been told", func(c *court) {
			c.hear(event.ValuesMoving, "tap:main", event.ValuesStillData{Tap: "main", ForNS: unit.Second, Because: "stirred"})
		}, claim.VerdictOpen, "values never freeze"},
		{"a pause or a loss", func(c *court) { c.pauses(); c.watched(twenty, moving(twenty, 3)) }, claim.VerdictOpen,
			"stood still for 3.20 s at 0:00.800: a pause or a loss, can't be told"},
		{"which opens it again", func(c *court) { c.watched(twenty, moving(twenty, 3)); c.pauses() }, claim.VerdictOpen, "a pause or a loss, can't be told"},
		{"and does not excuse a freeze", func(c *court) {
			c.hear(event.ValuesStill, "tap:main", event.ValuesStillData{Tap: "main", ForNS: unit.Second, Because: "stirred"})
			c.pauses()
		}, claim.VerdictWrong, "all values froze"},
		{"until all is seen anew", func(c *court) { c.pauses(); c.reopens(claim.TopicAll); c.watched(twenty, moving(twenty, 3)) }, claim.VerdictRight, ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			x.hear(c)
			assert.Equal(t, x.want, c.verdict("link/moving"))
			assert.Contains(t, c.claim("link/moving").Sentence, x.says)
		})
	}
}

func (c *court) pauses() {
	c.hear(event.ValuesPaused, "tap:main", event.ValuesStillData{Tap: "main", ForNS: 3200 * unit.Millisecond, Because: "stirred"})
}

func TestHowLongNoSpikeMustCome(t *testing.T) {
	for live, want := range map[unit.Duration]claim.Verdict{unit.Minute: claim.VerdictRight, unit.Minute - 1: claim.VerdictOpen} {
		c := starter(t)
		c.watched(live)
		assert.Equal(t, want, c.verdict("link/spikes"), live)
	}
	c := starter(t)
	c.watched(unit.Minute, still)
	assert.Equal(t, claim.VerdictOpen, c.verdict("link/spikes"), "nothing moved")
	c = starter(t)
	c.watched(31 * unit.Second)
	assert.Equal(t, "no channel left its value for a moment more than twice so far: watched for 31 s of 1:00 so far", c.claim("link/spikes").Sentence)
}

func TestSpikes(t *testing.T) {
	spikes := func(c *court, channels ...int) {
		for _, n := range channels {
			c.hear(event.ValueSpiked, "channel", event.ValueSpikedData{Tap: "main", Channel: n, FromNS: 1_500_000, ToNS: 1_800_000, Frames: 2})
		}
	}
	for _, x := range []struct {
		channels []int
		want     claim.Verdict
	}{
		{[]int{2, 2}, claim.VerdictOpen},
		{[]int{2, 2, 2}, claim.VerdictWrong},
		{[]int{1, 2, 3, 1, 2, 3}, claim.VerdictOpen},
	} {
		c := starter(t)
		spikes(c, x.channels...)
		assert.Equal(t, x.want, c.verdict("link/spikes"), x.channels)
	}
	c := starter(t)
	spikes(c, 2, 2)
	c.hear(event.Reopened, "session", event.ReopenData{What: claim.TopicAll})
	spikes(c, 2)
	assert.Equal(t, claim.VerdictOpen, c.verdict("link/spikes"))
	spikes(c, 2, 2)
	k := c.claim("link/spikes")
	assert.Contains(t, k.Sentence, "channel 2 left its value 3 times for a moment, last from 1500 µs to 1800 µs")
}

// Beside a phone a spike may be that one's doing: neither it nor the time counts.
func TestSpikesBesideAPhone(t *testing.T) {
	spike := event.ValueSpikedData{Tap: "main", Channel: 2, FromNS: 1_500_000, ToNS: 1_800_000, Frames: 2}
	alone := func(ns unit.Duration) func(*event.ExposureData) { // of the time heard, that without a phone
		return func(d *event.ExposureData) { d.LinkNS = ns }
	}
	phoned := func() *court {
		return open(t, strings.Replace(string(sheettest.TwoSwitches()), "taps:\n", "taps:\n  phone: {kind: tilt, top: nose}\n", 1))
	}
	for _, x := range []struct {
		name string
		do   func(c *court)
		want claim.Verdict
	}{
		{"it is there", func(c *court) { c.hear(event.TiltHeard, "tap:phone", event.TiltHeardData{}) }, claim.VerdictOpen},
		{"it is gone again", func(c *court) {
			c.hear(event.TiltHeard, "tap:phone", event.TiltHeardData{})
			c.hear(event.TiltSilent, "tap:phone", event.TiltSilentData{})
			c.now = c.now.Add(unit.Second)
		}, claim.VerdictWrong},
		{"it was never there", func(*court) {}, claim.VerdictWrong},
	} {
		c := phoned()
		x.do(c)
		for range 3 {
			c.hear(event.ValueSpiked, "channel:2", spike)
		}
		assert.Equal(t, x.want, c.verdict("link/spikes"), x.name)
	}
	c := phoned()
	c.watched(5*unit.Minute, alone(unit.Minute-1))
	assert.Equal(t, "no channel left its value for a moment more than twice so far: watched for 59 s of 1:00 so far", c.claim("link/spikes").Sentence)
	c.watched(5*unit.Minute, alone(unit.Minute))
	assert.Equal(t, claim.VerdictRight, c.verdict("link/spikes"), c.claim("link/spikes").Sentence)
	c = starter(t)
	c.watched(unit.Minute, alone(0))
	assert.Equal(t, claim.VerdictRight, c.verdict("link/spikes"), "a sheet without a phone has no such time")
}
