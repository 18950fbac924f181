package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/fact"
)

// heard is a court that has listened to a bus of 10 ms for so long.
func heard(t *testing.T, d fact.Time) *court {
	c := starter(t)
	c.hear(fact.SessionBegan, "session", fact.SessionData{})
	c.hear(fact.PeriodChanged, "tap:main", fact.PeriodData{PeriodNS: 10 * fact.Millisecond})
	c.hear(fact.BusLocked, "tap:main", fact.LockedData{})
	c.now += d - fact.Second - 200*fact.Millisecond // the next event comes a second later, and a lock began 200 ms before it was told
	return c
}

func (c *court) missed(frames int64, span fact.Time) {
	c.hear(fact.AirMissed, "tap:main", fact.RunData{Frames: frames, SpanNS: span})
}

func (c *court) ends() { c.hear(fact.SessionEnded, "session", nil) }

// The sheet allows 0.1 % of the frames: 6 of the 6000 of a minute.
func TestMissed(t *testing.T) {
	const short = 50 * fact.Millisecond
	for _, x := range []struct {
		name string
		hear func() *court
		want claim.Verdict
	}{
		{"the limit itself, in a minute", func() *court { c := heard(t, fact.Minute); c.missed(6, short); return c }, claim.Right},
		{"one more", func() *court { c := heard(t, fact.Minute); c.missed(7, short); return c }, claim.Wrong},
		{"before a minute is over", func() *court { c := heard(t, fact.Minute-1); c.missed(700, short); return c }, claim.Open},
		{"nothing, at the end of half a minute", func() *court { c := heard(t, 30*fact.Second); c.ends(); return c }, claim.Right},
		{"at the end of less", func() *court { c := heard(t, 30*fact.Second-1); c.ends(); return c }, claim.Open},
		{"too much, at the end", func() *court { c := heard(t, 30*fact.Second); c.missed(4, short); c.ends(); return c }, claim.Wrong},
		{"a run as long as a failsafe takes", func() *court { c := heard(t, fact.Minute); c.missed(150, 1500*fact.Millisecond); return c }, claim.Open},
		{"and just shorter", func() *court { c := heard(t, fact.Minute); c.missed(149, 1500*fact.Millisecond-1); return c }, claim.Wrong},
		{"in a failsafe", func() *court {
			c := heard(t, fact.Minute)
			c.hear(fact.FailsafeEntered, "tap:main", fact.FailsafeData{})
			c.missed(700, short)
			return c
		}, claim.Open},
		{"after it", func() *court {
			c := heard(t, fact.Minute)
			c.hear(fact.FailsafeEntered, "tap:main", fact.FailsafeData{})
			c.hear(fact.FailsafeLeft, "tap:main", fact.FailsafeData{})
			c.missed(700, short)
			return c
		}, claim.Wrong},
		{"reopened: what was before does not count", func() *court {
			c := heard(t, fact.Minute)
			c.missed(700, short)
			c.hear(fact.Reopened, "session", fact.ReopenData{What: claim.Everything})
			c.now += 28 * fact.Second
			c.ends()
			return c
		}, claim.Open},
		{"reopened, and heard for long enough", func() *court {
			c := heard(t, fact.Minute)
			c.missed(700, short)
			c.hear(fact.Reopened, "session", fact.ReopenData{What: claim.Everything})
			c.now += 29 * fact.Second
			c.ends()
			return c
		}, claim.Right},
		{"a silence is no time heard", func() *court {
			c := heard(t, 20*fact.Second)
			c.hear(fact.BusSilent, "tap:main", fact.SilentData{})
			c.now += fact.Minute
			c.ends()
			return c
		}, claim.Open},
		{"nor is a tap that went", func() *court {
			c := heard(t, 20*fact.Second)
			c.hear(fact.TapWent, "tap:main", fact.ReasonData{})
			c.now += fact.Minute
			c.ends()
			return c
		}, claim.Open},
		{"what was heard before a silence adds up", func() *court {
			c := heard(t, 20*fact.Second)
			c.hear(fact.BusSilent, "tap:main", fact.SilentData{})
			c.hear(fact.BusLocked, "tap:main", fact.LockedData{})
			c.now += 15 * fact.Second
			c.ends()
			return c
		}, claim.Right},
		{"a pause between two sittings does not", func() *court {
			c := heard(t, 20*fact.Second)
			c.now += 0
			c.hear(fact.SessionResumed, "session", fact.SessionData{})
			c.now += fact.Minute
			c.ends()
			return c
		}, claim.Open},
		{"a sitting that goes on is not judged", func() *court {
			c := heard(t, 40*fact.Second)
			c.hear(fact.SessionResumed, "session", fact.SessionData{})
			return c
		}, claim.Open},
		{"without a period", func() *court {
			c := starter(t)
			c.hear(fact.BusLocked, "tap:main", fact.LockedData{})
			c.now += 2 * fact.Minute
			c.missed(7000, short)
			return c
		}, claim.Open},
		{"counted anew when everything is reopened", func() *court {
			c := heard(t, fact.Minute)
			c.missed(20, short)
			c.hear(fact.Reopened, "session", fact.ReopenData{What: claim.Everything})
			c.now += 2 * fact.Minute
			c.missed(2, short)
			return c
		}, claim.Right},
	} {
		t.Run(x.name, func(t *testing.T) { assert.Equal(t, x.want, x.hear().verdict("link/missed")) })
	}
}

func TestMissedSaysWhatShare(t *testing.T) {
	c := heard(t, fact.Minute)
	c.missed(12, fact.Second)
	k := c.claim("link/missed")
	assert.Contains(t, k.Sentence, "0.2 % of the frames were missed on the air")
	assert.Contains(t, k.Sentence, "the sheet allows 0.1 %: keep the transmitter 2 to 3 m away")
	assert.Equal(t, map[string]int64{"missed_ppm": 2000, "missed_frames": 12, "heard_ns": 60_000_000_000}, k.Figures)
}

func TestStillness(t *testing.T) {
	still := fact.StillData{Tap: "main", ForNS: fact.Second, Because: "stirred"}
	c := starter(t)
	c.hear(fact.ValuesMoving, "tap:main", still)
	assert.Equal(t, claim.Open, c.verdict("link/moving"), "what moves again has been told")
	c.hear(fact.ValuesStill, "tap:main", still)
	assert.Equal(t, claim.Wrong, c.verdict("link/moving"))
	assert.Contains(t, c.claim("link/moving").Sentence, "all values froze for 1.00 s while something was moving (stirred), without a flag")

	for watched, want := range map[fact.Time]claim.Verdict{10 * fact.Second: claim.Right, 10*fact.Second - 1: claim.Open} {
		c := heard(t, watched)
		c.ends()
		assert.Equal(t, want, c.verdict("link/moving"), watched)
		assert.Equal(t, want, c.verdict("link/spikes"), watched)
	}
	c = heard(t, fact.Minute)
	c.hear(fact.SessionResumed, "session", fact.SessionData{})
	assert.Equal(t, claim.Open, c.verdict("link/moving"), "a sitting that goes on has not ended")
}

// Without a heartbeat a hold goes unseen at rest, and the sentence says so.
func TestByWhatStillnessIsWatched(t *testing.T) {
	c := heard(t, fact.Minute)
	c.ends()
	assert.Contains(t, c.claim("link/moving").Sentence, "watched only while sticks were stirred: no heartbeat was seen")
	c = heard(t, fact.Minute)
	c.hear(fact.ValuesMoving, "tap:main", fact.StillData{Because: "heartbeat"})
	c.ends()
	assert.Contains(t, c.claim("link/moving").Sentence, "watched by the heartbeat")
}

func TestSpikes(t *testing.T) {
	spikes := func(c *court, channels ...int) {
		for _, n := range channels {
			c.hear(fact.ValueSpiked, "channel", fact.SpikeData{Tap: "main", Channel: n, FromNS: 1_500_000, ToNS: 1_800_000, Frames: 2})
		}
	}
	for _, x := range []struct {
		channels []int
		want     claim.Verdict
	}{
		{[]int{2, 2}, claim.Open},
		{[]int{2, 2, 2}, claim.Wrong},
		{[]int{1, 2, 3, 1, 2, 3}, claim.Open},
	} {
		c := starter(t)
		spikes(c, x.channels...)
		assert.Equal(t, x.want, c.verdict("link/spikes"), x.channels)
	}
	c := starter(t)
	spikes(c, 2, 2)
	c.hear(fact.Reopened, "session", fact.ReopenData{What: claim.Everything})
	spikes(c, 2)
	assert.Equal(t, claim.Open, c.verdict("link/spikes"))
	spikes(c, 2, 2)
	k := c.claim("link/spikes")
	assert.Contains(t, k.Sentence, "channel 2 left its value 3 times for a moment, last from 1500 µs to 1800 µs")
}
