package claim_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

// follows is output 1 of the starter's sheet as that wants it: moved by aileron.
func follows() event.OutputFollowsData {
	return event.OutputFollowsData{
		Tap: "leads", Bus: "main", Mode: "plain", NeutralNS: 1_500_000, LeastNS: 988_000, MostNS: 2_012_000,
		Terms: []event.MixTerm{{Channel: 1, PPM: 1_000_000, HalfIntervalPPM: 5_000}, {Channel: 2, PPM: 1_000, HalfIntervalPPM: 5_000},
			{Channel: 3, PPM: 0, HalfIntervalPPM: 5_000}, {Channel: 4, PPM: 0, HalfIntervalPPM: 5_000}},
		DelayNS: 12 * unit.Millisecond, Samples: 400, Unmoved: []int{9},
	}
}

func TestWhatMovesAnOutput(t *testing.T) {
	const moves, travel = "moves/output:1", "travel/output:1"
	for _, x := range []struct {
		name, id string
		change   func(*event.OutputFollowsData)
		want     claim.Verdict
	}{
		{"as the sheet has it", moves, func(*event.OutputFollowsData) {}, claim.VerdictRight},
		{"the other way", moves, func(d *event.OutputFollowsData) { d.Terms[0].PPM = -1_000_000 }, claim.VerdictWrong},
		{"a fifth more, and the doubt", moves, func(d *event.OutputFollowsData) { d.Terms[0].PPM = 1_205_000 }, claim.VerdictRight},
		{"more than that", moves, func(d *event.OutputFollowsData) { d.Terms[0].PPM = 1_205_001 }, claim.VerdictWrong},
		{"less than that", moves, func(d *event.OutputFollowsData) { d.Terms[0].PPM = 794_999 }, claim.VerdictWrong},
		{"not at all", moves, func(d *event.OutputFollowsData) { d.Terms[0].PPM = 0 }, claim.VerdictWrong},
		{"by another stick too", moves, func(d *event.OutputFollowsData) { d.Terms[3].PPM = 55_001 }, claim.VerdictWrong},
		{"by another stick, within the doubt", moves, func(d *event.OutputFollowsData) { d.Terms[3].PPM = 55_000 }, claim.VerdictRight},
		{"another stick is not moved yet", moves, func(d *event.OutputFollowsData) { d.Unmoved = []int{4} }, claim.VerdictOpen},
		{"its own is not moved yet", moves, func(d *event.OutputFollowsData) { d.Terms = d.Terms[1:]; d.Unmoved = []int{1} }, claim.VerdictOpen},
		{"too much doubt", moves, func(d *event.OutputFollowsData) { d.Terms[0].HalfIntervalPPM = 50_001 }, claim.VerdictOpen},
		{"sticks command an attitude", moves, func(d *event.OutputFollowsData) { d.Mode, d.Terms[0].PPM = "upright", -1_000_000 }, claim.VerdictOpen},
		{"nobody knows what that mode does", moves, func(d *event.OutputFollowsData) { d.Mode = "hold-course" }, claim.VerdictOpen},
		{"rates are corrected", moves, func(d *event.OutputFollowsData) { d.Mode = "damping" }, claim.VerdictRight},

		{"to both ends", travel, func(*event.OutputFollowsData) {}, claim.VerdictRight},
		{"nine tenths of the way", travel, func(d *event.OutputFollowsData) { d.LeastNS, d.MostNS = 1_039_200, 1_960_800 }, claim.VerdictRight},
		{"not to the narrow end yet", travel, func(d *event.OutputFollowsData) { d.LeastNS = 1_039_201 }, claim.VerdictOpen},
		{"not to the wide end yet", travel, func(d *event.OutputFollowsData) { d.MostNS = 1_960_799 }, claim.VerdictOpen},
		{"flat at the narrow end", travel, func(d *event.OutputFollowsData) { d.LowNS = 988_000 }, claim.VerdictOpen},
		{"flat at the wide end", travel, func(d *event.OutputFollowsData) { d.HighNS = 2_012_000 }, claim.VerdictOpen},
		{"by a channel that nobody moved", travel, func(d *event.OutputFollowsData) { d.Terms = nil }, claim.VerdictOpen},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := starter(t)
			d := follows()
			x.change(&d)
			c.hear(event.OutputFollows, "output:1", d)
			assert.Equal(t, x.want, c.verdict(x.id), c.claim(x.id).Sentence)
		})
	}
}

// Where the sheet says of no mode what it does, sticks may move surfaces in all.
func TestEveryModeCountsWhereTheSheetSaysNothingOfThem(t *testing.T) {
	text := regexp.MustCompile(`(?m)^ *does: .*\n`).ReplaceAllString(string(sheettest.TwoSwitches()), "")
	require.NotEqual(t, string(sheettest.TwoSwitches()), text)
	c := open(t, text)
	d := follows()
	d.Mode = "upright"
	c.hear(event.OutputFollows, "output:1", d)
	assert.Equal(t, claim.VerdictRight, c.verdict("moves/output:1"))
}

func TestWhyAMixIsWrong(t *testing.T) {
	for ppm, want := range map[int64]string{-1_000_000: "the other way from the sheet's 1.00", 700_000: "the sheet wants 1.00: look at the mix and the travel"} {
		c := starter(t)
		d := follows()
		d.Terms[0].PPM = ppm
		c.hear(event.OutputFollows, "output:1", d)
		assert.Contains(t, c.claim("moves/output:1").Sentence, want)
	}
}

// With a cut below idle, a throttle's way begins at idle.
// Of a mix whose one part is right, turning the output round would break that part.
func TestAMixThatGoesTheOtherWay(t *testing.T) {
	text := strings.NewReplacer(
		"surface: left aileron     #", "surface: left elevon     #", "moved_by: {aileron: 1.0}  #", "moved_by: {aileron: 0.5, elevator: -0.5}  #",
		"surface: elevator\n    moved_by: {elevator: 1.0}", "surface: right elevon\n    moved_by: {aileron: 0.5, elevator: "+
			"0.5}").Replace(string(sheettest.TwoSwitches()))
	for _, x := range []struct {
		name              string
		aileron, elevator int64
		unsure            bool // of elevator
		want, not         string
	}{
		{"both parts", -500_000, 500_000, false, "reverse that output in the receiver", "mix"},
		{"one part, as the other output should", 500_000, 500_000, false,
			"moves as output 2 (right elevon) should: exchange the two in the receiver, or their leads on the board", "reverse"},
		{"one part, as no output should", 500_000, 700_000, false, "look at the mix of that output in the receiver: turning " +
			"the output round would turn aileron too", "exchange"},
		{"one part, and the other is not known yet", -500_000, 500_000, true,
			"reverse that output in the receiver, or its mix: which, elevator will tell once it is moved", "look"},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := open(t, text)
			d := follows()
			d.Terms[0].PPM, d.Terms[1].PPM = x.aileron, x.elevator
			if x.unsure {
				d.Terms[1].HalfIntervalPPM = 900_000
			}
			c.hear(event.OutputFollows, "output:1", d)
			assert.Equal(t, claim.VerdictWrong, c.verdict("moves/output:1"))
			assert.Contains(t, c.claim("moves/output:1").Sentence, x.want)
			assert.NotContains(t, c.claim("moves/output:1").Sentence, x.not)
		})
	}
}

func TestAThrottleNeedNotGoToItsCut(t *testing.T) {
	c := starter(t)
	d := follows()
	d.Terms = []event.MixTerm{{Channel: 3, PPM: 1_000_000, HalfIntervalPPM: 5_000}}
	d.NeutralNS, d.LeastNS, d.MostNS, d.Unmoved = 988_000, 1_060_000, 2_012_000, nil
	c.hear(event.OutputFollows, "output:3", d)
	assert.Equal(t, claim.VerdictRight, c.verdict("travel/output:3"))
	c = starter(t)
	d.LeastNS = 1_061_000
	c.hear(event.OutputFollows, "output:3", d)
	assert.Equal(t, claim.VerdictOpen, c.verdict("travel/output:3"))
}

func TestAnotherOutputsMix(t *testing.T) {
	c := starter(t)
	c.hear(event.OutputFollows, "output:7", follows())
	assert.Empty(t, c.verdicts())
}

func TestAThrottleHasNoNeutral(t *testing.T) {
	c := starter(t)
	d := follows()
	d.Terms = []event.MixTerm{{Channel: 3, PPM: 1_000_000, HalfIntervalPPM: 5_000}}
	d.NeutralNS, d.LeastNS, d.MostNS, d.Unmoved = 988_000, 988_000, 2_012_000, nil
	c.hear(event.OutputFollows, "output:3", d)
	assert.Equal(t, claim.VerdictRight, c.verdict("moves/output:3"))
	assert.Equal(t, claim.VerdictRight, c.verdict("travel/output:3"))
}

func TestADirectionThatTheSheetLeavesOpen(t *testing.T) {
	c := open(t, `sheet: 1
model: m
taps: {main: {kind: bus}, leads: {kind: pulses}}
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
outputs:
  1: {surface: left aileron, moved_by: {aileron: "?"}}
`)
	d := follows()
	d.Mode, d.Terms = "", []event.MixTerm{{Channel: 1, PPM: -800_000, HalfIntervalPPM: 5_000}}
	c.hear(event.OutputFollows, "output:1", d)
	assert.Equal(t, claim.VerdictRight, c.verdict("moves/output:1"))
	assert.Contains(t, c.claim("moves/output:1").Sentence, "look whether the surface goes the right way")
}

func TestAnOutputThatIsCutOff(t *testing.T) {
	c := starter(t)
	c.hear(event.OutputClipped, "output:1", event.OutputClipData{WidthNS: 1_900_000, BeyondNS: 100_000, Upper: true, Channels: []int{1}})
	assert.Equal(t, claim.VerdictWrong, c.verdict("travel/output:1"))
	assert.Contains(t, c.claim("travel/output:1").Sentence, "aileron went on")
	assert.Len(t, c.verdicts(), 1)

	c.hear(event.Reopened, "session", event.ReopenData{What: claim.TopicOutputs})
	c.hear(event.OutputFollows, "output:1", follows())
	assert.Equal(t, claim.VerdictRight, c.verdict("travel/output:1"))
}

// What was clipped at one end is not right by the other.
func TestClippedBeforeTheMixIsKnown(t *testing.T) {
	c := starter(t)
	c.hear(event.OutputClipped, "output:1", event.OutputClipData{WidthNS: 1_900_000, BeyondNS: 100_000, Channels: []int{1}})
	c.hear(event.Reopened, "session", event.ReopenData{What: "aileron"})
	c.hear(event.OutputFollows, "output:1", follows())
	assert.Equal(t, claim.VerdictOpen, c.verdict("travel/output:1"), "the limit is the receiver's, and only outputs reopens it")
}

// Without a tap on the leads nothing is claimed of outputs.
func TestNoLeads(t *testing.T) {
	c := open(t, `sheet: 1
model: m
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
outputs:
  1: {surface: left aileron, moved_by: {aileron: 1.0}}
`)
	for _, k := range c.book.Claims() {
		assert.NotContains(t, k.ID, "output")
	}
	assert.NotContains(t, claim.Topics(c.sheet), claim.TopicOutputs)
}

// Two outputs in each other's place: no mix is to be switched off.
func TestOutputsInEachOthersPlace(t *testing.T) {
	c := starter(t)
	d := follows()
	d.Terms[0].PPM, d.Terms[1].PPM = 0, 1_000_000
	c.hear(event.OutputFollows, "output:1", d)
	assert.Contains(t, c.claim("moves/output:1").Sentence, "it moves as output 2 (elevator) should: exchange the two in the receiver, or their leads on the board")

	c = starter(t)
	d.Terms[0].PPM, d.Terms[0].HalfIntervalPPM = 300_000, 0
	d.Terms[0], d.Terms[1] = d.Terms[1], d.Terms[0]
	c.hear(event.OutputFollows, "output:1", d)
	assert.Contains(t, c.claim("moves/output:1").Sentence, "output 2 (elevator) should move so: are the two exchanged? Else look at the mix of that output")
}

// What the bus does not show is not set in the transmitter: a mix there moves a channel.
func TestAMixThatTheBusDoesNotShowIsTheReceivers(t *testing.T) {
	c := starter(t)
	d := follows()
	d.Terms[3].PPM = 250_000
	c.hear(event.OutputFollows, "output:1", d)
	assert.Contains(t, c.claim("moves/output:1").Sentence,
		"moves by 0.25 of rudder, which the sheet does not name for it: look at the mix of that output in the receiver")
}

// A flat stand that cuts off little is the receiver's only where the channel is known to
// have no limit of its own.
func TestALittleCutOffMayBeTheChannelsOwnEnd(t *testing.T) {
	clip := func(beyond unit.Width) event.OutputClipData {
		return event.OutputClipData{WidthNS: 1_143_000, BeyondNS: beyond, Channels: []int{1}}
	}
	free := func(c *court) {
		for _, end := range []string{"left", "right"} {
			c.did("ends/aileron/"+end, map[int][]float64{1: {1500, map[string]float64{"left": 988, "right": 2012}[end]}})
		}
	}
	for name, x := range map[string]struct {
		beyond unit.Width
		free   bool
		want   claim.Verdict
	}{
		"little, of a channel that is not known": {39_999, false, claim.VerdictOpen},
		"more":                                   {40_000, false, claim.VerdictWrong},
		"little, of a channel that is free":      {39_999, true, claim.VerdictWrong},
	} {
		t.Run(name, func(t *testing.T) {
			c := starter(t)
			if x.free {
				free(c)
				require.Equal(t, claim.VerdictRight, c.verdict("clip/aileron"))
			}
			c.hear(event.OutputClipped, "output:1", clip(x.beyond))
			assert.Equal(t, x.want, c.verdict("travel/output:1"))
			if x.want == claim.VerdictOpen {
				assert.Contains(t, c.claim("travel/output:1").Sentence, "aileron is not seen free of a limit of its own yet")
				d := follows()
				d.LeastNS, d.MostNS = 988_000, 2_012_000
				c.hear(event.OutputFollows, "output:1", d)
				assert.Equal(t, claim.VerdictRight, c.verdict("travel/output:1"), "it was the channel's own end, and that is mended")
			}
		})
	}
}
