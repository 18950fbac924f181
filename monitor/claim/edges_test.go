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

// knobbed is a court over the model with modes on two switches, whose edges are to be measured.
func knobbed(t *testing.T) *court {
	return open(t, string(sheettest.WholeCounts("\nstabiliser:\n", "\nstabiliser:\n  measure: [edges]\n")))
}

const (
	edgesDrill = "drill:edges"
	firstEdge  = "edge/inner/damping/plain"
)

// way is an edge from one side, between two widths, µs.
func way(from, to unit.Width) event.EdgeWay {
	return event.EdgeWay{FromNS: from * 1000, ToNS: to * 1000, Looks: 7}
}

// between is an edge that was found on both ways.
func between(up, down event.EdgeWay) event.EdgeMeasuredData {
	d := event.EdgeMeasuredData{Channel: 11, Edge: "damping/plain", Below: "damping", Above: "plain", Up: up, Down: &down,
		FromNS: min(up.FromNS, down.FromNS), ToNS: max(up.ToNS, down.ToNS)}
	d.Agrees = d.ToNS-d.FromNS <= 20_000
	if d.Agrees {
		d.Lines = []string{"damping: when: [{inner: [0, 1295]}]"}
	}
	return d
}

func TestEdges(t *testing.T) {
	against := way(1295, 1304)
	against.Against = 1
	for _, c := range []struct {
		name string
		d    event.EdgeMeasuredData
		want claim.Verdict
		says string
	}{
		{"where the sheet has it", between(way(1295, 1304), way(1297, 1305)), claim.VerdictRight,
			"between 1295 µs and 1305 µs (from below between 1295 µs and 1304 µs"},
		{"it begins there", between(way(1300, 1308), way(1301, 1309)), claim.VerdictRight, "the sheet has 1300 µs. Its lines"},
		{"it ends there", between(way(1291, 1300), way(1290, 1299)), claim.VerdictRight, "damping: when: [{inner: [0, 1295]}]"},
		{"above", between(way(1301, 1308), way(1302, 1309)), claim.VerdictWrong, "the sheet's windows are not the receiver's"},
		{"below", between(way(1291, 1299), way(1290, 1298)), claim.VerdictWrong, "Copy what was measured into it, with windows: {from: measured}: damping: when"},
		{"far apart", between(way(1310, 1318), way(1280, 1288)), claim.VerdictOpen,
			"in two places: from below between 1310 µs and 1318 µs, from above between 1280 µs"},
		{"found on one side only roughly", between(way(1280, 1304), way(1295, 1303)), claim.VerdictOpen, "wider than 10 µs from one side"},
		{"not found from below", event.EdgeMeasuredData{Channel: 11, Edge: "damping/plain", Below: "damping", Above: "plain",
			Up: event.EdgeWay{Why: "the knob is too coarse"}}, claim.VerdictOpen, "is not known: from below it was not found: the knob is too coarse"},
		{"who looked and the leads did not agree", between(against, way(1297, 1305)), claim.VerdictOpen, "who looked and the servo leads did not agree"},
		{"nor on the way back", between(way(1297, 1305), against), claim.VerdictOpen, "did not agree"},
	} {
		t.Run(c.name, func(t *testing.T) {
			court := knobbed(t)
			court.hear(event.EdgeMeasured, "channel:11", c.d)
			assert.Equal(t, c.want, court.verdict(firstEdge), court.claim(firstEdge).Sentence)
			assert.Contains(t, court.claim(firstEdge).Sentence, c.says)
			assert.Equal(t, claim.VerdictOpen, court.verdict("edge/inner/plain/upright"), "each is judged by itself")
			if c.want != claim.VerdictOpen {
				assert.Equal(t, map[string]int64{"from_ns": int64(c.d.FromNS), "to_ns": int64(c.d.ToNS)}, court.claim(firstEdge).Figures)
			}
		})
	}
}

// An edge that the sheet does not have is none of its claims.
func TestAnEdgeThatTheSheetHasNot(t *testing.T) {
	c := knobbed(t)
	d := between(way(1295, 1304), way(1297, 1305))
	d.Edge = "plain/damping"
	c.hear(event.EdgeMeasured, "channel:11", d)
	assert.Empty(t, c.verdicts())
}

// What a channel shows while it has a knob, or may have one, no judge sees; and what it showed before is to be seen again.
func TestWhatAKnobShowsIsNoSwitch(t *testing.T) {
	const place = "position/inner/middle"
	asked := func(c *court, prompt string) {
		c.hear(event.DrillPrompted, edgesDrill, event.DrillPromptedData{Prompt: prompt, Of: 13})
	}
	for _, x := range []struct {
		name string
		when func(c *court)
		want claim.Verdict // of the middle, once it stood off its place
	}{
		{"no drill", func(*court) {}, claim.VerdictWrong},
		{"another drill", func(c *court) { c.hear(event.DrillBegan, "drill:mode", event.DrillBeganData{}) }, claim.VerdictWrong},
		{"the drill began", func(c *court) { c.hear(event.DrillBegan, edgesDrill, event.DrillBeganData{}) }, claim.VerdictRight},
		{"it ended, and no knob was put on", func(c *court) {
			c.hear(event.DrillBegan, edgesDrill, event.DrillBeganData{})
			c.hear(event.DrillEnded, edgesDrill, event.DrillEndedData{How: "abandoned"})
		}, claim.VerdictWrong},
		{"it was broken off with a knob on the channel", func(c *court) {
			c.hear(event.DrillBegan, edgesDrill, event.DrillBeganData{})
			asked(c, "edges/inner/knob")
			c.hear(event.DrillEnded, edgesDrill, event.DrillEndedData{How: "abandoned"})
		}, claim.VerdictStale},
		{"with one on the other channel", func(c *court) {
			c.hear(event.DrillBegan, edgesDrill, event.DrillBeganData{})
			asked(c, "edges/outer/knob")
			c.hear(event.DrillEnded, edgesDrill, event.DrillEndedData{How: "abandoned"})
		}, claim.VerdictWrong},
		{"it was taken off", func(c *court) {
			c.hear(event.DrillBegan, edgesDrill, event.DrillBeganData{})
			asked(c, "edges/inner/knob")
			c.did("edges/inner/off", nil)
			c.hear(event.DrillEnded, edgesDrill, event.DrillEndedData{How: "finished"})
		}, claim.VerdictWrong},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := knobbed(t)
			c.placed()
			assert.Equal(t, claim.VerdictRight, c.verdict(place))
			x.when(c)
			for range 6 {
				for _, us := range []float64{1560, 2012, 988} {
					c.stands("inner", us)
				}
			}
			assert.Equal(t, x.want, c.verdict(place), c.claim(place).Sentence)
		})
	}
}

// A knob that stays on the channel after the drill is named, and how to say that it is off; said, the switch counts again.
func TestAKnobThatWasNotTakenOff(t *testing.T) {
	const place = "position/inner/middle"
	c := knobbed(t)
	c.placed()
	c.hear(event.DrillBegan, edgesDrill, event.DrillBeganData{})
	c.hear(event.DrillPrompted, edgesDrill, event.DrillPromptedData{Prompt: "edges/inner/knob", Of: 13})
	c.stands("inner", 1500)
	c.hear(event.DrillEnded, edgesDrill, event.DrillEndedData{How: "abandoned"})
	assert.Equal(t, claim.VerdictStale, c.verdict(place))
	said := 0
	for _, k := range c.book.Claims() {
		if strings.Contains(k.Sentence, "broken off with a knob on inner: take it off") {
			assert.NotEqual(t, claim.VerdictRight, k.Verdict, k.ID)
			said++
		}
	}
	assert.Positive(t, said, "what rests on the channel says so")
	c.stands("inner", 1500)
	assert.Equal(t, claim.VerdictStale, c.verdict(place))
	c.hear(event.Reopened, "session", event.ReopenData{What: "inner"})
	c.placed()
	assert.Equal(t, claim.VerdictRight, c.verdict(place))
}
