package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

func (c *court) comes() {
	c.hear(event.OutputBack, "output:1", event.OutputBackData{WidthNS: 1_500_000})
}

func (c *court) stops() {
	c.hear(event.OutputSilent, "output:1", event.SilentData{LimitNS: 100 * unit.Millisecond})
}

func TestAnOutputsPulses(t *testing.T) {
	const id = "pulses/output:1"
	silent := func(c *court) { c.hear(event.BusSilent, "tap:main", event.SilentData{}) }
	locked := func(c *court) { c.hear(event.BusLocked, "tap:main", event.LockedData{SilentNS: 1}) }
	gone := func(c *court) { c.hear(event.FailsafeEntered, "tap:main", event.FailsafeData{}) }
	back := func(c *court) { c.hear(event.FailsafeLeft, "tap:main", event.FailsafeData{}) }
	mark := func(c *court) { c.hear(event.Mark, "session", event.MarkData{Text: "later"}) }
	end := func(c *court) { c.hear(event.SessionEnded, "session", nil) }
	other := func(c *court) { c.hear(event.OutputBack, "output:2", event.OutputBackData{WidthNS: 1_500_000}) }
	wait := func(c *court) { c.now = c.now.Add(10 * unit.Second) }
	minute := func(c *court) { c.now = c.now.Add(59 * unit.Second) }      // the next event comes a second later
	soon := func(c *court) { c.now = c.now.Add(-600 * unit.Millisecond) } // the next one comes so much sooner
	board := func(c *court) { c.hear(event.BoardSilent, "tap:leads", event.SilentData{}) }
	unplugged := func(tap string) func(*court) {
		return func(c *court) { c.hear(event.TapDown, "tap:"+tap, event.ReasonData{Why: "unplugged"}) }
	}
	lost := func(lines int64) func(*court) {
		return func(c *court) {
			c.hear(event.BoardLost, "tap:leads", event.BoardLostData{Lines: lines, SpanNS: 10 * unit.Second})
		}
	}
	reopened := func(c *court) { c.hear(event.Reopened, "session", event.ReopenData{What: claim.TopicOutputs}) }
	comes, stops := (*court).comes, (*court).stops
	stoppedBefore := func(c *court) { // a second and more ago, and it is known only now
		c.hearFrom(c.now.Add(-600*unit.Millisecond), event.OutputSilent, "output:1", event.SilentData{LimitNS: unit.Second})
	}
	for _, x := range []struct {
		name string
		do   []func(*court)
		want claim.Verdict
	}{
		{"it comes", []func(*court){comes, minute, end}, claim.VerdictRight},
		{"not for a minute", []func(*court){comes, wait, end}, claim.VerdictOpen},
		{"a minute, half of it without a signal", []func(*court){comes, gone, minute, back, end}, claim.VerdictOpen},
		{"a minute before and after", []func(*court){comes, wait, wait, wait, gone, minute, back, wait, wait, wait, end}, claim.VerdictRight},
		{"a minute while the bus is silent", []func(*court){locked, comes, silent, minute, end}, claim.VerdictOpen},
		{"others come", []func(*court){other, wait, end}, claim.VerdictWrong},
		{"others come, of few lines", []func(*court){other, wait, lost(1900), mark, end}, claim.VerdictOpen},
		{"others come, and a line now and then is lost", []func(*court){other, wait, lost(200), mark, end}, claim.VerdictWrong},
		{"it stops, since lines are lost", []func(*court){comes, stops, soon, lost(1900), mark, mark, end}, claim.VerdictOpen},
		{"others come, not long enough", []func(*court){other, end}, claim.VerdictOpen},
		{"others come, and it does", []func(*court){other, comes, minute, end}, claim.VerdictRight},
		{"not long enough", []func(*court){comes, end}, claim.VerdictOpen},
		{"never", []func(*court){wait, end}, claim.VerdictOpen},
		{"it stops, and nothing else does", []func(*court){locked, comes, stops, mark, mark}, claim.VerdictWrong},
		{"it stops, and that is not known yet", []func(*court){locked, comes, stops}, claim.VerdictOpen},
		{"it stops, and is back", []func(*court){locked, comes, stops, comes}, claim.VerdictWrong},
		{"it stops at the end", []func(*court){locked, comes, stops, end}, claim.VerdictWrong},
		{"the receiver stops too", []func(*court){locked, comes, stops, silent, mark, end}, claim.VerdictOpen},
		{"the receiver stopped before", []func(*court){locked, comes, silent, stops, mark, mark, end}, claim.VerdictOpen},
		{"without a signal", []func(*court){locked, comes, gone, stops, mark, mark, end}, claim.VerdictOpen},
		{"without a signal, and back with it", []func(*court){locked, comes, gone, stops, back, comes, end}, claim.VerdictOpen},
		{"long after the signal was back", []func(*court){locked, comes, gone, back, comes, stops, mark, mark}, claim.VerdictWrong},
		{"the supply is cut, and a failsafe follows when it is back", []func(*court){locked, comes, silent, stops, soon, locked, gone,
			comes, mark, mark, end}, claim.VerdictOpen},
		{"the receiver long after", []func(*court){locked, comes, stops, wait, silent, mark}, claim.VerdictWrong},
		{"the receiver too, but that is known later", []func(*court){locked, comes, stops, soon, mark, soon, silent, mark, end}, claim.VerdictOpen},
		{"the receiver was gone and is back before the silence is known", []func(*court){locked, comes, silent, soon, locked, stoppedBefore, mark, mark, end},
			claim.VerdictOpen},
		{"it goes on in a failsafe, and is heard for too short a time", []func(*court){comes, gone, stops, wait, mark, end}, claim.VerdictOpen},
		{"the board falls silent", []func(*court){comes, board, wait, mark, end}, claim.VerdictOpen},
		{"a minute in which the board is silent", []func(*court){comes, board, minute, mark, end}, claim.VerdictOpen},
		{"heard long enough, and then reopened", []func(*court){comes, minute, gone, back, reopened, end}, claim.VerdictOpen},
		{"reopened, and then not long enough", []func(*court){comes, minute, reopened, end}, claim.VerdictOpen},
		{"reopened, and then long enough", []func(*court){comes, reopened, minute, end}, claim.VerdictRight},
		{"no bus was heard, and it stops", []func(*court){comes, stops, mark, mark}, claim.VerdictOpen},
		{"no bus was heard, it stops and is back for long", []func(*court){comes, stops, comes, minute, end}, claim.VerdictOpen},
		{"no bus was heard, it stops at the end", []func(*court){comes, stops, end}, claim.VerdictOpen},
		{"no bus was heard, and it never stops", []func(*court){comes, minute, end}, claim.VerdictRight},
		{"no bus was heard, right, and then it stops", []func(*court){comes, minute, end, stops, mark, mark}, claim.VerdictOpen},
		{"no bus was heard, it stops, and it is reopened", []func(*court){comes, stops, comes, reopened, minute, end}, claim.VerdictRight},
		{"the board was unplugged, and is back", []func(*court){locked, comes, wait, unplugged("leads"), wait, comes, minute, end}, claim.VerdictRight},
		{"the board was unplugged, no bus was heard, and it is back", []func(*court){comes, unplugged("leads"), wait, comes, minute, end}, claim.VerdictRight},
		{"a minute while the board is unplugged", []func(*court){locked, comes, unplugged("leads"), minute, mark, end}, claim.VerdictOpen},
		{"the bus was unplugged, and is back", []func(*court){locked, comes, unplugged("main"), wait, locked, minute, end}, claim.VerdictRight},
		{"a minute while the bus is unplugged", []func(*court){locked, comes, unplugged("main"), minute, mark, end}, claim.VerdictOpen},
		{"it stops while the board is unplugged and back", []func(*court){locked, comes, unplugged("leads"), wait, comes, stops, mark, mark},
			claim.VerdictWrong},
		{"right, and then it stops", []func(*court){locked, comes, minute, stops, mark, mark, end}, claim.VerdictWrong},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			for _, do := range x.do {
				do(c)
			}
			assert.Equal(t, x.want, c.verdict(id), c.claim(id).Sentence)
		})
	}
}

// Without a bus nobody knows whether the receiver had a signal, or power, when outputs stopped.
func TestAnOutputThatStopsWithoutABus(t *testing.T) {
	c := starter(t)
	c.comes()
	c.stops()
	c.comes()
	for range 2 {
		assert.Contains(t, c.claim("pulses/output:1").Sentence, "no bus was heard: whether the receiver heard its transmitter then")
		c.hear(event.SessionEnded, "session", nil)
	}
}

// An output that stays open since the board lost its lines says so, with the numbers.
func TestLostLinesAreWhyAnOutputStaysOpen(t *testing.T) {
	lost := func(c *court, lines int64) {
		c.hear(event.BoardLost, "tap:leads", event.BoardLostData{Lines: lines, Dropped: 5, SpanNS: 10 * unit.Second})
	}
	other := func(c *court) { c.hear(event.OutputBack, "output:2", event.OutputBackData{WidthNS: 1_500_000}) }
	end := func(c *court) { c.hear(event.SessionEnded, "session", nil) }
	for name, x := range map[string]struct {
		hear func(*court)
		says string
	}{
		"never heard": {func(c *court) { other(c); lost(c, 1900) },
			"output 1 (left aileron) was not heard, but 1905 lines of the board were lost in 10.00 s, and its pulses may have " +
				"been in those: see to the board, its cable and its rate first"},
		"never heard, twice":      {func(c *court) { other(c); lost(c, 1900); lost(c, 1900) }, "3810 lines of the board were lost in 20.00 s"},
		"never heard, to the end": {func(c *court) { other(c); lost(c, 1900); end(c) }, "was not heard, but 1905 lines"},
		"stopped": {func(c *court) {
			c.comes()
			c.stops()
			c.now = c.now.Add(-600 * unit.Millisecond)
			lost(c, 1900)
		}, "was not heard, but 1905 lines"},
		"stopped, to the end": {func(c *court) {
			c.comes()
			c.now = c.now.Add(10 * unit.Second)
			c.stops()
			c.now = c.now.Add(-600 * unit.Millisecond)
			lost(c, 1900)
			end(c)
		}, "was not heard, but 1905 lines"},
		"heard all the same": {func(c *court) { c.comes(); lost(c, 1900); end(c) }, "made no pause of its own so far"},
		"few lines are lost": {func(c *court) { other(c); lost(c, 190); end(c) }, "sends pulses that a servo takes"},
		"reopened":           {func(c *court) { other(c); lost(c, 1900); c.reopens(claim.TopicOutputs); end(c) }, "sends pulses that a servo takes"},
	} {
		c := starter(t)
		x.hear(c)
		assert.Equal(t, claim.VerdictOpen, c.verdict("pulses/output:1"), name)
		assert.Contains(t, c.claim("pulses/output:1").Sentence, x.says, name)
	}
}

func TestOddPulses(t *testing.T) {
	c := starter(t)
	c.hear(event.OutputOdd, "output:1", event.OutputOddData{Pulses: 3, LeastNS: 400_000, MostNS: 410_000})
	assert.Equal(t, map[string]claim.Verdict{"pulses/output:1": claim.VerdictWrong}, c.verdicts())
}

func TestAnOutputThatSwings(t *testing.T) {
	c := starter(t)
	c.hear(event.OutputCalm, "output:1", event.OutputUnsteadyData{MilliHz: 4_250, AmplitudeNS: 12_000})
	c.hear(event.SessionEnded, "session", nil)
	assert.Equal(t, claim.VerdictOpen, c.verdict("steady/output:1"), "a quiet bench proves nothing")
	c.hear(event.OutputUnsteady, "output:1", event.OutputUnsteadyData{MilliHz: 4_250, AmplitudeNS: 12_000, Mode: "damping"})
	assert.Equal(t, claim.VerdictWrong, c.verdict("steady/output:1"))
	assert.Contains(t, c.claim("steady/output:1").Sentence, "4.2 times a second")
}

func TestAnOutputsJitter(t *testing.T) {
	for _, x := range []struct {
		name   string
		mode   string
		spread unit.Width
		want   claim.Verdict
	}{
		{"a good receiver's", "plain", 2_600, claim.VerdictRight},
		{"more", "plain", 2_601, claim.VerdictWrong},
		{"with stabilisation on", "damping", 9_000, claim.VerdictOpen},
		{"in no mode", "", 9_000, claim.VerdictOpen},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			c.hear(event.OutputJitter, "output:1", event.OutputJitterData{SpreadNS: x.spread, Pulses: 250, Mode: x.mode})
			assert.Equal(t, x.want, c.verdict("jitter/output:1"))
		})
	}
}
