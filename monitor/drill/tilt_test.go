package drill_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/pulse"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/fact"
)

func TestTheResponseDrillOfTheStarter(t *testing.T) {
	list := prompts(t, starter(t), "response")
	require.Len(t, list, 17)
	assert.Equal(t, []string{
		"response/damped/1/set: put sel-a to back",
		"response/damped/1/count: put the transmitter down and take the model in both hands, level and still; on the third count briskly raise the tail by about 30 degrees and hold it there",
		"response/damped/1/there: now: briskly raise the tail by about 30 degrees and hold it there (an Enter says that it was tilted)",
		"response/damped/1/level: put the model back level and still",
		"response/unstabilised/1/set: put sel-a to middle",
	}, list[:5])
	assert.Equal(t, []string{
		"response/levelling/1/set/way/1/sel-b/back: put sel-b to back",
		"response/levelling/1/set: put sel-a to front (sel-b stays at back)",
	}, list[8:10], "one switch at a time, and not by way of another mode")
}

// The axis that is tilted is the easiest one that is corrected.
func TestTheResponseDrillTiltsWhatIsCorrected(t *testing.T) {
	noPitch := []string{"    corrects: [pitch]\n", "    corrects: []\n"}
	noRoll := []string{"    corrects: [roll]  ", "    corrects: []  "}
	noYaw := []string{"    corrects: [yaw]\n", "    corrects: []\n"}
	for want, changes := range map[string][]string{
		"raise the tail": nil, "raise the left wing": noPitch, "jerk the nose to the left": append(noPitch, noRoll...),
	} {
		assert.Contains(t, prompts(t, starter(t, changes...), "response")[2], want)
	}
	none := append(append(noPitch, noRoll...), noYaw...)
	assert.NotContains(t, names(starter(t, none...)), "response", "nothing is corrected")
	assert.NotContains(t, names(starter(t, none...)), "correction")
	deaf := starter(t, "  leads:                      # the servo leads; remove these two lines if you don't tap them\n", "", "    kind: pulses              # pulses has no \"carries\"\n", "")
	require.False(t, deaf.HasLeads())
	assert.NotContains(t, names(deaf), "response", "nobody listens to the leads")
	assert.NotContains(t, names(deaf), "correction")
}

func TestTheCorrectionDrillOfTheStarter(t *testing.T) {
	list := prompts(t, starter(t), "correction")
	require.Len(t, list, 2+3*9)
	assert.Equal(t, []string{
		"correction/mode/way/1/sel-a/front: put sel-a to front",
		"correction/mode: put sel-b to back (sel-a stays at front)",
		"correction/pitch/stick: hold the right stick fully back, towards you (elevator)",
		"correction/pitch/home: let the right stick go back to its centre (elevator)",
		"correction/roll/stick: hold the right stick fully to the left (aileron)",
		"correction/roll/home: let the right stick go back to its centre (aileron)",
		"correction/yaw/stick: hold the left stick fully to the right (rudder)",
		"correction/yaw/home: let the left stick go back to its centre (rudder)",
		"correction/pitch/count: put the transmitter down and take the model in both hands, level and still; on the third count briskly raise the tail by about 30 degrees and hold it there",
		"correction/pitch/there: now: briskly raise the tail by about 30 degrees and hold it there (an Enter says that it was tilted)",
		"correction/pitch/level: put the model back level and still",
		"correction/pitch/count-2: on the third count briskly raise the nose by about 30 degrees and hold it there",
		"correction/pitch/other: now: briskly raise the nose by about 30 degrees and hold it there (an Enter says that it was tilted)",
		"correction/pitch/level-2: put the model back level and still",
		"correction/roll/count: on the third count briskly raise the left wing by about 30 degrees and hold it there",
	}, list[:15])
	assert.Equal(t, "correction/yaw/there: now: jerk the nose to the left by about 30 degrees, once, and hold it there (an Enter says that it was tilted)", list[21])
	assert.Equal(t, []string{
		"correction/pitch/eye: hold the right stick fully back, towards you (elevator) and look: Enter if the elevator, or what serves as one, goes up; q if not, then reverse the servo, or the output, and begin anew",
		"correction/roll/eye: hold the right stick fully to the left (aileron) and look: Enter if the left aileron, or what serves as one, goes up and the right one down; q if not, then reverse the servo, or the output, and begin anew",
		"correction/yaw/eye: hold the left stick fully to the right (rudder) and look: Enter if the rudder, or what serves as one, goes to the right; q if not, then reverse the servo, or the output, and begin anew",
	}, list[26:])
}

// Where answers stay they are the easiest to see; else a kick must do.
func TestTheModeOfTheCorrectionDrill(t *testing.T) {
	first := func(changes ...string) string { return prompts(t, starter(t, changes...), "correction")[0] }
	noStay := []string{"      does: stays\n", ""}
	noReturn := []string{"      does: returns\n", ""}
	unwanted := []string{"      wanted_at: [{sel-a: front, sel-b: back}]             # so both positions belong here\n", ""}
	assert.Equal(t, "correction/mode: put sel-a to back", first(noStay...))
	assert.Equal(t, "correction/mode: put sel-a to back", first(unwanted...), "no position is known to bring it about")
	assert.Contains(t, first(append(noStay, noReturn...)...), "correction/pitch/stick", "nobody says what any mode does")
}

// An axis without a stick of that name can't be compared with anything.
func TestAnAxisWithoutItsStickIsLeftOut(t *testing.T) {
	s := starter(t, "ends: {left: 988, right: 2012}    # the two", "ends: {port: 988, starboard: 2012}    # the two")
	for _, p := range prompts(t, s, "correction") {
		assert.NotContains(t, p, "/roll/")
	}
}

func TestDrillsThatLiftTheModelSaySo(t *testing.T) {
	for _, name := range []string{"response", "correction"} {
		p, ok := drill.Find(drill.Plans(starter(t)), name)
		require.True(t, ok)
		all := strings.Join(p.Cautions, "\n")
		assert.Contains(t, all, "holds it firmly by its body")
		assert.NotContains(t, all, "stands firm", "nobody can lift a model that stands")
	}
}

// lead is a servo lead: pulses of a width on an output.
type lead struct {
	output int
	width  int64 // ns
	epoch  int
}

// pulses lets frames and the leads' pulses come for so long, 50 times a second.
func (r *rig) pulses(d fact.Time, list ...lead) {
	const every = 20 * fact.Millisecond
	for end := r.now + d; r.now+every <= end; {
		r.hear(3 * period / 2)
		next := (r.now/every + 1) * every
		for _, l := range list {
			r.pulse(next, l)
		}
	}
}

func (r *rig) pulse(at fact.Time, l lead) {
	r.see(fact.Observation{At: at, Wire: at, Tap: board, Kind: fact.PulseSeen,
		Pulse: &pulse.Pulse{Output: l.output, Rise: int64(at) - l.width, Width: l.width, Epoch: l.epoch}})
}

func outputMove(t testing.TB, d fact.AnswerData, output int) fact.OutputMove {
	for _, m := range d.Outputs {
		if m.Output == output {
			return m
		}
	}
	require.Fail(t, "no such output")
	return fact.OutputMove{}
}

// A prompt that is held runs its time; an Enter only confirms.
func TestAHeldPromptIsAnsweredByItsTime(t *testing.T) {
	for name, x := range map[string]struct {
		taps []fact.Time // after the prompt
		by   string
	}{
		"nobody presses a key": {nil, "count"},
		"a tap":                {[]fact.Time{fact.Second}, "builder"},
		"two taps":             {[]fact.Time{fact.Second, 2 * fact.Second}, "builder"},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.torn = name == "a tap"
			r.start("response")
			r.set("sel-a", 1500)
			r.hear(fact.Second)
			r.set("sel-a", 988)
			r.hear(fact.Second)
			r.hear(6100 * fact.Millisecond)
			assert.Equal(t, []string{"drill.began 17 prompts", "drill.prompted 1/17 response/damped/1/set", "drill.answered response/damped/1/set by wire",
				"drill.prompted 2/17 response/damped/1/count", "drill.answered response/damped/1/count by count", "drill.prompted 3/17 response/damped/1/there"}, r.said())
			_, since := r.runner.Standing()
			for _, tap := range x.taps {
				r.hear(since + tap - r.now)
				r.step("response", fact.StepDone)
			}
			r.hear(since + 4990*fact.Millisecond - r.now)
			require.Empty(t, r.said(), "not before its time")
			r.hear(30 * fact.Millisecond)
			assert.Equal(t, []string{"drill.answered response/damped/1/there by " + x.by, "drill.prompted 4/17 response/damped/1/level"}, r.said())
			r.hear(4 * fact.Second)
			assert.Equal(t, "drill.answered response/damped/1/level by count", r.said()[0], "a tap is for one prompt")
		})
	}
}

// An Enter within a second of the tilt's prompt may be meant for the count: it is asked
// about and confirms nothing. The next one does.
func TestAnEnterTooEarlyConfirmsNoTilt(t *testing.T) {
	for again, by := range map[bool]string{false: "count", true: "builder"} {
		r := newRig(t, starter(t))
		r.hear(fact.Second)
		r.input(fact.Step{Drill: "response", Do: fact.StepBegin, Asks: true})
		r.step("response", fact.StepConfirm)
		r.set("sel-a", 988)
		r.hear(7 * fact.Second)
		_, since := r.runner.Standing()
		r.said()
		r.hear(since + 900*fact.Millisecond - r.now)
		r.step("response", fact.StepDone)
		assert.Equal(t, []string{"drill.hint response/damped/1/there: the prompt before was answered by itself; this is the next one: press Enter once it is done"}, r.said())
		if again {
			r.hear(fact.Second)
			r.step("response", fact.StepDone)
		}
		r.hear(since + 5100*fact.Millisecond - r.now)
		assert.Equal(t, "drill.answered response/damped/1/there by "+by, r.said()[0])
	}
}

// A tilt is taken anew from its count: the model has to lie level before it.
func TestATiltIsRepeatedFromItsCount(t *testing.T) {
	for do, want := range map[string][2]string{ // at the tilt, and at the prompt behind it
		fact.StepRepeat: {"response/damped/1/count", "response/damped/1/level"},
		fact.StepBack:   {"response/damped/1/count", "response/damped/1/count"},
	} {
		for i, wait := range []fact.Time{7 * fact.Second, 12 * fact.Second} {
			r := newRig(t, starter(t))
			r.start("response")
			r.set("sel-a", 988)
			r.hear(wait)
			r.step("response", do)
			at, _ := r.runner.Standing()
			assert.Equal(t, want[i], at, "%s after %d", do, wait)
		}
	}
}

// Without a frame, the beats let time pass.
func TestAHeldPromptEndsThoughNoFrameComes(t *testing.T) {
	r := newRig(t, starter(t))
	r.start("response")
	r.hear(fact.Second)
	r.set("sel-a", 988)
	r.hear(2 * fact.Second)
	for range 6 {
		r.pass(fact.Second)
	}
	assert.Contains(t, r.said(), "drill.answered response/damped/1/count by count")
}

func TestAnswersTellOutputsModeAndWho(t *testing.T) {
	r := newRig(t, starter(t))
	r.hearing.Mode = "damped"
	r.hear(fact.Second)
	r.input(fact.Step{Drill: "neutral", Do: fact.StepBegin, By: strings.Repeat("Ann", 20)})
	r.step("neutral", fact.StepConfirm)
	r.pulses(fact.Second, lead{1, 1_500_000, 0}, lead{7, 1_700_000, 0}, lead{33, 1_500_000, 0})
	d := r.done()
	assert.Equal(t, "damped", d.Mode)
	assert.Equal(t, strings.Repeat("Ann", 13)+"A...", d.Who)
	assert.Equal(t, []int{1, 2, 3, 4, 7}, numbers(d), "those of the sheet, and those heard that a sheet could name")
	assert.Equal(t, fact.OutputMove{Output: 2}, outputMove(t, d, 2), "silent")
	for _, e := range r.events {
		if b, ok := e.Data.(fact.DrillBeganData); ok {
			assert.Equal(t, d.Who, b.By)
		}
	}

	r = newRig(t, starter(t))
	r.runner = drill.New(r.sheet, bus, drill.Tap{})
	r.hearing.Mode = "damped"
	r.start("neutral")
	d = r.done()
	assert.Nil(t, d.Outputs, "nobody listens to the leads")
	assert.Empty(t, d.Mode)
}

func numbers(d fact.AnswerData) (list []int) {
	for _, m := range d.Outputs {
		list = append(list, m.Output)
	}
	return list
}

func TestADrillOfTheLeadsNeedsThem(t *testing.T) {
	r := newRig(t, starter(t))
	r.runner = drill.New(r.sheet, bus, drill.Tap{})
	r.step("correction", fact.StepBegin)
	assert.Equal(t, []string{"drill.refused: the servo leads are not listened to, and this drill is judged by them: name the capture board's port with --leads"}, r.said())

	gone := fact.Observation{Tap: board, Kind: fact.TapDown, Data: []byte("unplugged")}
	for name, want := range map[string][]string{"correction": {"drill.ended interrupted: the tap leads went away: unplugged"}, "neutral": nil} {
		r = newRig(t, starter(t))
		r.start(name)
		r.said()
		gone.At = r.now
		r.see(gone)
		assert.Equal(t, want, r.said())
	}
}

// What an output did between a prompt and its answer.
func TestOutputsAreFollowed(t *testing.T) {
	const rest, up = int64(1_500_000), int64(1_584_000)
	steady := func(r *rig, d fact.Time, w int64) { r.pulses(d, lead{2, w, 0}) }
	for name, x := range map[string]struct {
		before, after func(r *rig)
		want          fact.OutputMove
	}{
		"a tilt that stays": {
			func(r *rig) { steady(r, fact.Second, rest) },
			func(r *rig) { steady(r, fact.Second, rest); steady(r, 2*fact.Second, up) },
			fact.OutputMove{FromNS: rest, LeastNS: rest, MostNS: up, LateNS: up, Pulses: 150},
		},
		"a kick": {
			func(r *rig) { steady(r, fact.Second, rest) },
			func(r *rig) { steady(r, 200*fact.Millisecond, 1_450_000); steady(r, 2*fact.Second, rest) },
			fact.OutputMove{FromNS: rest, LeastNS: 1_450_000, MostNS: rest, LateNS: rest, Pulses: 110},
		},
		"an odd pulse is left out": {
			func(r *rig) { steady(r, fact.Second, rest) },
			func(r *rig) {
				steady(r, fact.Second, rest)
				steady(r, 20*fact.Millisecond, 1_900_000)
				steady(r, 1980*fact.Millisecond, rest)
			},
			fact.OutputMove{FromNS: rest, LeastNS: rest, MostNS: rest, LateNS: rest, Pulses: 150},
		},
		"two odd pulses are not": {
			func(r *rig) { steady(r, fact.Second, rest) },
			func(r *rig) {
				steady(r, fact.Second, rest)
				steady(r, 40*fact.Millisecond, 1_900_000)
				steady(r, 1960*fact.Millisecond, rest)
			},
			fact.OutputMove{FromNS: rest, LeastNS: rest, MostNS: 1_900_000, LateNS: rest, Pulses: 150},
		},
		"half of the pulses are lost": {
			func(r *rig) { steady(r, fact.Second, rest) },
			func(r *rig) {
				for range 75 {
					steady(r, 20*fact.Millisecond, up)
					r.hear(20 * fact.Millisecond)
				}
			},
			fact.OutputMove{FromNS: rest, LeastNS: rest, MostNS: up, LateNS: up, Pulses: 75},
		},
		"the first after a hole says nothing yet": {
			func(r *rig) { steady(r, fact.Second, rest) },
			func(r *rig) {
				steady(r, fact.Second, rest)
				r.hear(300 * fact.Millisecond)
				r.pulse(r.now+period, lead{2, 1_900_000, 0})
				r.pulse(r.now+period, lead{2, 1_900_000, 0})
				r.hear(300 * fact.Millisecond)
				steady(r, 1360*fact.Millisecond, rest)
			},
			fact.OutputMove{FromNS: rest, LeastNS: rest, MostNS: rest, LateNS: rest, Pulses: 120},
		},
		"nor after the board began anew": {
			func(r *rig) { steady(r, fact.Second, rest) },
			func(r *rig) {
				steady(r, fact.Second, rest)
				r.pulses(40*fact.Millisecond, lead{2, 1_900_000, 1})
				r.pulses(1960*fact.Millisecond, lead{2, rest, 2})
			},
			fact.OutputMove{FromNS: rest, LeastNS: rest, MostNS: rest, LateNS: rest, Pulses: 150},
		},
		"silent at the prompt": {
			func(r *rig) { r.hear(fact.Second) },
			func(r *rig) { steady(r, 2*fact.Second, up) },
			fact.OutputMove{LeastNS: up, MostNS: up, LateNS: up, Pulses: 100},
		},
		"silent at the end": {
			func(r *rig) { steady(r, fact.Second, rest) },
			func(r *rig) { steady(r, fact.Second, rest); r.hear(1500 * fact.Millisecond) },
			fact.OutputMove{FromNS: rest, LeastNS: rest, MostNS: rest, Pulses: 50},
		},
		"silent all along": {
			func(r *rig) { steady(r, fact.Second, rest) },
			func(r *rig) { r.hear(2 * fact.Second) },
			fact.OutputMove{FromNS: rest},
		},
		"a hand that begins too early": {
			func(r *rig) { steady(r, 800*fact.Millisecond, rest); steady(r, 200*fact.Millisecond, up) },
			func(r *rig) { steady(r, 2*fact.Second, up) },
			fact.OutputMove{FromNS: rest, LeastNS: up, MostNS: up, LateNS: up, Pulses: 100},
		},
		"where it stood long before does not count": {
			func(r *rig) { steady(r, fact.Second, 1_400_000); steady(r, 840*fact.Millisecond, rest) },
			func(r *rig) { steady(r, 2*fact.Second, rest) },
			fact.OutputMove{FromNS: rest, SwayNS: 100_000, LeastNS: rest, MostNS: rest, LateNS: rest, Pulses: 100},
		},
		"nor how it had moved a second before": {
			func(r *rig) { steady(r, fact.Second, 1_400_000); steady(r, 1200*fact.Millisecond, rest) },
			func(r *rig) { steady(r, 2*fact.Second, rest) },
			fact.OutputMove{FromNS: rest, LeastNS: rest, MostNS: rest, LateNS: rest, Pulses: 100},
		},
		"it twitched": {
			func(r *rig) {
				steady(r, 600*fact.Millisecond, rest)
				steady(r, 60*fact.Millisecond, rest+30_000)
				steady(r, 640*fact.Millisecond, rest)
			},
			func(r *rig) { steady(r, 2*fact.Second, rest) },
			fact.OutputMove{FromNS: rest, SwayNS: 30_000, LeastNS: rest, MostNS: rest, LateNS: rest, Pulses: 100},
		},
		"it swings by itself": {
			func(r *rig) {
				for range 5 {
					steady(r, 140*fact.Millisecond, rest-40_000)
					steady(r, 140*fact.Millisecond, rest+30_000)
				}
			},
			func(r *rig) { steady(r, 2*fact.Second, rest) },
			fact.OutputMove{FromNS: rest - 12_000, SwayNS: 70_000, LeastNS: rest, MostNS: rest + 30_000, LateNS: rest, Pulses: 100},
		},
		"late is a mean": {
			func(r *rig) { steady(r, fact.Second, rest) },
			func(r *rig) {
				steady(r, fact.Second, up)
				steady(r, 500*fact.Millisecond, 1_510_000)
				steady(r, 500*fact.Millisecond, 1_530_000)
			},
			fact.OutputMove{FromNS: rest, LeastNS: rest, MostNS: up, LateNS: 1_520_000, Pulses: 100},
		},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.torn = name == "a tilt that stays"
			r.start("neutral")
			x.before(r)
			r.done()
			r.events = nil
			x.after(r)
			got := outputMove(t, r.done(), 2)
			x.want.Output = 2
			assert.InDelta(t, x.want.LateNS, got.LateNS, 2_500, "of a second, give or take a tenth")
			got.LateNS = x.want.LateNS
			assert.InDelta(t, x.want.Pulses, got.Pulses, 2)
			got.Pulses = x.want.Pulses
			got.RestNS, got.StirNS, got.LowNS, got.HighNS, got.LowAtNS, got.HighAtNS, got.AwayNS = 0, 0, 0, 0, 0, 0, 0 // see below
			assert.Equal(t, x.want, got)
		})
	}
}

// A hand is ahead of the count, or behind it. Where an output rested is known from before
// any hand began, and what it did from there on.
func TestAHandAheadOfTheCount(t *testing.T) {
	const rest = int64(1_500_000)
	type leg struct {
		lasts fact.Time // ms
		off   int64     // µs
	}
	kick, stand := []leg{{300, 60}}, []leg{{3000, 60}}
	for name, x := range map[string]struct {
		still fact.Time // ms before the legs begin
		after fact.Time // the prompt comes so long after they began, ms; negative: before
		legs  []leg
		want  fact.OutputMove // widths from rest, times to a tenth
	}{
		"a kick behind the count":          {3000, -500, kick, fact.OutputMove{HighNS: 60, HighAtNS: 500, AwayNS: 300}},
		"at the count":                     {3000, 0, kick, fact.OutputMove{HighNS: 60, AwayNS: 300}},
		"half a second ahead":              {3000, 500, kick, fact.OutputMove{HighNS: 60, HighAtNS: -500, AwayNS: 300}},
		"what stays":                       {3000, 400, stand, fact.OutputMove{HighNS: 60, HighAtNS: -400, AwayNS: 3000}},
		"what stays to the other side":     {3000, 400, []leg{{3000, -60}}, fact.OutputMove{LowNS: -60, LowAtNS: -400, AwayNS: 3000}},
		"there and back":                   {3000, 400, []leg{{200, 50}, {200, -60}}, fact.OutputMove{LowNS: -60, HighNS: 50, LowAtNS: -200, HighAtNS: -400, AwayNS: 200}},
		"it stands at less than half":      {3000, 0, []leg{{300, 60}, {2000, 29}}, fact.OutputMove{HighNS: 60, AwayNS: 300}},
		"and at half":                      {3000, 0, []leg{{300, 60}, {2000, 30}}, fact.OutputMove{HighNS: 60, AwayNS: 2300}},
		"too far ahead, and it shows":      {3000, 2000, stand, fact.OutputMove{RestNS: 60, StirNS: 60, HighNS: 60, HighAtNS: -480, AwayNS: 3000}},
		"so far that nothing can tell":     {3000, 2700, stand, fact.OutputMove{RestNS: 60, HighNS: 60, HighAtNS: -480, AwayNS: 3000}},
		"a twitch within two seconds":      {3000, 2300, []leg{{100, 60}}, fact.OutputMove{StirNS: 60}},
		"a twitch long before":             {3000, 2700, []leg{{100, 60}}, fact.OutputMove{}},
		"silent where it should have been": {0, 400, stand, fact.OutputMove{RestNS: -1500, HighNS: 60, HighAtNS: -400}},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.torn = name == "there and back"
			r.start("neutral")
			r.pulses(x.still*fact.Millisecond, lead{2, rest, 0})
			begun := r.now
			prompted := begun + x.after*fact.Millisecond
			legs := append([]leg{}, x.legs...)
			if x.after < 0 {
				legs = append([]leg{{-x.after, 0}}, legs...)
				prompted = begun
			}
			prompt := func() { r.done(); r.events = nil; prompted = fact.Never }
			for _, l := range append(legs, leg{3000, 0}) {
				end := r.now + l.lasts*fact.Millisecond
				if prompted <= end {
					r.pulses(prompted-r.now, lead{2, rest + l.off*1000, 0})
					prompt()
				}
				r.pulses(end-r.now, lead{2, rest + l.off*1000, 0})
			}
			got := outputMove(t, r.done(), 2)
			for _, w := range []struct{ want, got int64 }{{x.want.RestNS, got.RestNS}, {x.want.LowNS, got.LowNS}, {x.want.HighNS, got.HighNS}} {
				assert.Equal(t, w.want*1000, w.got-rest, "%+v", got)
			}
			assert.Equal(t, x.want.StirNS*1000, got.StirNS)
			const about = float64(100 * fact.Millisecond) // of a tenth
			if x.want.LowNS != 0 {
				assert.InDelta(t, float64(x.want.LowAtNS*fact.Millisecond), float64(got.LowAtNS), about, "%+v", got)
			}
			if x.want.HighNS != 0 {
				assert.InDelta(t, float64(x.want.HighAtNS*fact.Millisecond), float64(got.HighAtNS), about, "%+v", got)
			}
			assert.InDelta(t, float64(x.want.AwayNS*fact.Millisecond), float64(got.AwayNS), about, "%+v", got)
		})
	}
}

// A step that awaits a stick's end with a whole second of it.
func TestTheStickIsHeldForTheWholeOfTheLastSecond(t *testing.T) {
	r := newRig(t, starter(t))
	r.set("sel-a", 2012)
	r.set("sel-b", 988)
	r.start("correction")
	r.hear(2 * fact.Second)
	r.said()
	r.set("elevator", 2012)
	r.hear(1100 * fact.Millisecond)
	assert.Empty(t, r.said())
	r.hear(200 * fact.Millisecond)
	assert.Equal(t, []string{"drill.answered correction/pitch/stick by wire", "drill.prompted 4/29 correction/pitch/home"}, r.said())
	r.set("elevator", 1500)
	r.hear(fact.Second)
	assert.Equal(t, "drill.answered correction/pitch/home by wire", r.said()[0])
}

// No pulse costs memory.
func TestAPulseIsFollowedWithoutAllocation(t *testing.T) {
	r := newRig(t, starter(t))
	r.start("neutral")
	p := pulse.Pulse{Output: 3, Width: 1_500_000}
	o := fact.Observation{Tap: board, Kind: fact.PulseSeen, Pulse: &p}
	step := func() {
		o.At += 20 * fact.Millisecond
		o.Wire = o.At
		r.runner.See(&o, &r.hearing, r.emit)
	}
	for range 100 {
		step()
	}
	assert.Zero(t, testing.AllocsPerRun(1000, step))
}
