package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

const soaked = `sheet: 1
model: m
taps: {main: {kind: bus, carries: heard}, second: {kind: bus, carries: heard}}
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
soak: {at_most_one_in: 10h, missed_at_most: "1 %"}
`

// soakBook is the book of a sheet with limits; see gives it a count.
func soakBook(t *testing.T, text string) (verdicts func() (outages, missed *claim.Claim), see func(event.SoakData), reopen func(unit.Time)) {
	s, err := sheet.Read("m.yaml", []byte(text))
	require.NoError(t, err)
	b := claim.New(s)
	var from, at unit.Time
	hear := func(e event.Event) { b.See(&e, func(*claim.Claim, claim.Verdict) {}) }
	find := func(id string) *claim.Claim {
		for _, c := range b.Claims() {
			if c.ID == id {
				return c
			}
		}
		return nil
	}
	return func() (*claim.Claim, *claim.Claim) { return find("soak/outages"), find("soak/missed") },
		func(d event.SoakData) {
			at = at.Add(unit.Second)
			hear(event.Event{At: at, From: from, Kind: event.SoakCounted, About: "tap:" + d.Tap, Data: d})
		},
		func(to unit.Time) {
			at = to
			hear(event.Event{At: at, From: at, Kind: event.Reopened, About: event.AboutSession, Data: event.ReopenData{What: claim.TopicAll}})
		}
}

func TestOnlyLimitsAreJudged(t *testing.T) {
	verdicts, _, _ := soakBook(t, "sheet: 1\nmodel: m\nchannels:\n  1: {name: a, kind: stick, ends: {left: 988, right: 2012}}\nsoak: {distance: 3 m}\n")
	outages, missed := verdicts()
	assert.Nil(t, outages)
	assert.Nil(t, missed)
}

func TestTheLimitOfOutages(t *testing.T) {
	const hour = 60 * unit.Minute
	verdicts, see, reopen := soakBook(t, soaked)
	outages, _ := verdicts()
	assert.Equal(t, claim.VerdictOpen, outages.Verdict)

	see(event.SoakData{Tap: "main", LiveNS: 10 * hour})
	assert.Equal(t, claim.VerdictOpen, outages.Verdict)
	assert.Contains(t, outages.Sentence, "bear out nothing so far")
	see(event.SoakData{Tap: "main", LiveNS: 37 * hour, OneInNS: 9 * hour})
	assert.Equal(t, claim.VerdictOpen, outages.Verdict)
	assert.Contains(t, outages.Sentence, "0 occasions in 37 h of a live link bear out one in 9 h")
	see(event.SoakData{Tap: "main", LiveNS: 38 * hour, OneInNS: 10 * hour})
	assert.Equal(t, claim.VerdictRight, outages.Verdict)
	assert.Contains(t, outages.Sentence, "occasions of outages come no more often than once in 10 h on average, 95 % sure")
	assert.EqualValues(t, 10*hour, outages.Figures["one_in_ns"])

	see(event.SoakData{Tap: "second", LiveNS: 37 * hour, OneInNS: 9 * hour})
	assert.Equal(t, claim.VerdictOpen, outages.Verdict, "the bus that bears out least")
	see(event.SoakData{Tap: "second", LiveNS: 38 * hour, OneInNS: 10 * hour, Gone: true})
	assert.Equal(t, claim.VerdictRight, outages.Verdict)
	assert.NotContains(t, outages.Sentence, "the signal that is gone", "main is told of, which bears out no more")

	see(event.SoakData{Tap: "second", LiveNS: 39 * hour, Occasions: 1, OneInNS: 5 * hour})
	assert.Equal(t, claim.VerdictOpen, outages.Verdict, "an outage since: what was shown is shown no more")
	see(event.SoakData{Tap: "second", LiveNS: 45 * hour, Occasions: 20, BrokenNS: 10 * hour})
	assert.Equal(t, claim.VerdictWrong, outages.Verdict)
	see(event.SoakData{Tap: "second", LiveNS: 45 * hour, Occasions: 1, OneInNS: 20 * hour})
	assert.Equal(t, claim.VerdictWrong, outages.Verdict, "until it is reopened")
	reopen(unit.Time(unit.Minute))
	assert.Equal(t, claim.VerdictOpen, outages.Verdict)
	see(event.SoakData{Tap: "main", LiveNS: 45 * hour, OneInNS: 11 * hour})
	assert.Equal(t, claim.VerdictOpen, outages.Verdict, "an account that began before says nothing of what was changed since")
}

func TestTheLimitOfMissedFrames(t *testing.T) {
	verdicts, see, _ := soakBook(t, soaked)
	_, missed := verdicts()
	known := event.SoakData{Tap: "main", Frames: 1_000_000, Missed: 5000, Known: true, PPM: 5000, LowPPM: 3000, HighPPM: 10_000}
	see(known)
	assert.Equal(t, claim.VerdictOpen, missed.Verdict, "its doubt holds where it is looked at once: at the end of a sitting")
	few := event.SoakData{Tap: "main", Frames: 1_000_000, Missed: 5, Ended: true}
	see(few)
	assert.Equal(t, claim.VerdictOpen, missed.Verdict, "not a minute")
	assert.Contains(t, missed.Sentence, "5 of 1000000 frames")
	few.Minutes, few.Hit, few.AtMostPPM = 300, 1, 10_001
	see(few)
	assert.Equal(t, claim.VerdictOpen, missed.Verdict, "too few runs, in too few minutes")
	assert.Contains(t, missed.Sentence, "in which one was missed, 1 of 300, which bear out at most 1.0001 %: run for longer")
	few.AtMostPPM, few.Ended = 10_000, false
	see(few)
	assert.Equal(t, claim.VerdictOpen, missed.Verdict, "that bound, too, holds for one look")
	few.Ended = true
	see(few)
	assert.Equal(t, claim.VerdictRight, missed.Verdict)
	assert.Contains(t, missed.Sentence, "in 1 of 300 minutes")
	assert.EqualValues(t, 10_000, missed.Figures["high_ppm"])
	few.AtMostPPM++
	see(few)
	assert.Equal(t, claim.VerdictOpen, missed.Verdict, "what came since leaves it open")
	known.Ended = true
	see(known)
	assert.Equal(t, claim.VerdictRight, missed.Verdict)
	known.HighPPM++
	see(known)
	assert.Equal(t, claim.VerdictOpen, missed.Verdict, "the limit lies between")
	known.LowPPM = 10_000
	see(known)
	assert.Equal(t, claim.VerdictOpen, missed.Verdict)
	known.LowPPM++
	see(known)
	assert.Equal(t, claim.VerdictWrong, missed.Verdict)
}

func TestOfTwoBusesTheOneThatMissesMore(t *testing.T) {
	verdicts, see, _ := soakBook(t, soaked)
	_, missed := verdicts()
	see(event.SoakData{Tap: "main", Ended: true, Minutes: 600, AtMostPPM: 5000})
	assert.Equal(t, claim.VerdictRight, missed.Verdict)
	see(event.SoakData{Tap: "second", Ended: true, Minutes: 60, AtMostPPM: 48_000})
	assert.Equal(t, claim.VerdictOpen, missed.Verdict)
	see(event.SoakData{Tap: "second", Ended: true, Known: true, PPM: 4000, HighPPM: 6000})
	assert.Equal(t, claim.VerdictRight, missed.Verdict)
	assert.Contains(t, missed.Sentence, "at most 0.6 %")
	see(event.SoakData{Tap: "main", Ended: true, Minutes: 60, AtMostPPM: 48_000})
	assert.Equal(t, claim.VerdictOpen, missed.Verdict)
	see(event.SoakData{Tap: "second", Ended: true, Known: true, PPM: 20_000, LowPPM: 10_001, HighPPM: 30_000})
	assert.Equal(t, claim.VerdictWrong, missed.Verdict, "whatever is not known of the other")
}
