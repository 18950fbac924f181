package drill_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

func TestTheResponseDrillOfTheStarter(t *testing.T) {
	list := prompts(t, starter(t), "response")
	require.Len(t, list, 17)
	assert.Equal(t, []string{
		"response/damping/1/set: put inner to back",
		"response/damping/1/count: put the transmitter down and take the model in both hands, level and still; on the third " +
			"count briskly raise the tail by about 30 degrees and hold it there",
		"response/damping/1/there: now: briskly raise the tail by about 30 degrees and hold it there (an Enter says that it was tilted)",
		"response/damping/1/level: put the model back level and still",
		"response/plain/1/set: put inner to middle",
	}, list[:5])
	assert.Equal(t, []string{
		"response/upright/1/set/way/1/outer/back: put outer to back",
		"response/upright/1/set: put inner to front (outer stays at back)",
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
	deaf := starter(t, "  leads:                      # the servo leads; remove these two lines if you don't tap them\n",
		"", "    kind: pulses              # pulses has no \"carries\"\n", "")
	require.False(t, deaf.HasLeads())
	assert.NotContains(t, names(deaf), "response", "nobody listens to the leads")
	assert.NotContains(t, names(deaf), "correction")
}

func TestTheCorrectionDrillOfTheStarter(t *testing.T) {
	list := prompts(t, starter(t), "correction")
	require.Len(t, list, 2+3*9)
	assert.Equal(t, []string{
		"correction/mode/way/1/inner/front: put inner to front",
		"correction/mode: put outer to back (inner stays at front)",
		"correction/pitch/stick: hold the right stick fully back, towards you (elevator)",
		"correction/pitch/home: let the right stick go back to its centre (elevator)",
		"correction/roll/stick: hold the right stick fully to the left (aileron)",
		"correction/roll/home: let the right stick go back to its centre (aileron)",
		"correction/yaw/stick: hold the left stick fully to the right (rudder)",
		"correction/yaw/home: let the left stick go back to its centre (rudder)",
		"correction/pitch/count: put the transmitter down and take the model in both hands, level and still; on the third " +
			"count briskly raise the tail by about 30 degrees and hold it there",
		"correction/pitch/there: now: briskly raise the tail by about 30 degrees and hold it there (an Enter says that it was tilted)",
		"correction/pitch/level: put the model back level and still",
		"correction/pitch/count-2: on the third count briskly raise the nose by about 30 degrees and hold it there",
		"correction/pitch/other: now: briskly raise the nose by about 30 degrees and hold it there (an Enter says that it was tilted)",
		"correction/pitch/level-2: put the model back level and still",
		"correction/roll/count: on the third count briskly raise the left wing by about 30 degrees and hold it there",
	}, list[:15])
	assert.Equal(t, "correction/yaw/there: now: jerk the nose to the left by about 30 degrees, once, and hold it there "+
		"(an Enter says that it was tilted)", list[21])
	assert.Equal(t, []string{
		"correction/pitch/eye: hold the right stick fully back, towards you (elevator) and look: Enter if the elevator, or " +
			"what serves as one, goes up; q if not, then reverse the servo, or the output, and begin anew",
		"correction/roll/eye: hold the right stick fully to the left (aileron) and look: Enter if the left aileron, or what " +
			"serves as one, goes up and the right one down; q if not, then reverse the servo, or the output, and begin anew",
		"correction/yaw/eye: hold the left stick fully to the right (rudder) and look: Enter if the rudder, or what serves " +
			"as one, goes to the right; q if not, then reverse the servo, or the output, and begin anew",
	}, list[26:])
}

// Where answers stay they are the easiest to see; else a kick must do.
func TestTheModeOfTheCorrectionDrill(t *testing.T) {
	first := func(changes ...string) string { return prompts(t, starter(t, changes...), "correction")[0] }
	noStay := []string{"      does: stays\n", ""}
	noReturn := []string{"      does: returns\n", ""}
	unwanted := []string{"      wanted_at: [{inner: front, outer: back}]             # so both positions belong here\n", ""}
	assert.Equal(t, "correction/mode: put inner to back", first(noStay...))
	assert.Equal(t, "correction/mode: put inner to back", first(unwanted...), "no position is known to bring it about")
	assert.Contains(t, first(append(noStay, noReturn...)...), "correction/pitch/stick", "nobody says what any mode does")
}

// An axis without a stick of that name can't be compared with anything.
func TestAnAxisWithoutItsStickIsLeftOut(t *testing.T) {
	s := starter(t, "ends: {left: 988, right: 2012}    # the two", "ends: {port: 988, starboard: 2012}    # the two")
	for _, p := range prompts(t, s, "correction") {
		assert.NotContains(t, p, "/roll/")
	}
}

// A prompt that is held runs its time; an Enter only confirms.
func TestAHeldPromptIsAnsweredByItsTime(t *testing.T) {
	for name, x := range map[string]struct {
		taps []unit.Duration // after the prompt
		by   string
	}{
		"nobody presses a key": {nil, "count"},
		"a tap":                {[]unit.Duration{unit.Second}, "builder"},
		"two taps":             {[]unit.Duration{unit.Second, 2 * unit.Second}, "builder"},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.torn = name == "a tap"
			r.start("response")
			r.set("inner", 1500)
			r.hear(unit.Second)
			r.set("inner", 988)
			r.hear(unit.Second)
			r.hear(6100 * unit.Millisecond)
			assert.Equal(t, []string{"drill.began 17 prompts", "drill.prompted 1/17 response/damping/1/set", "drill.answered response/damping/1/set by wire",
				"drill.prompted 2/17 response/damping/1/count", "drill.answered response/damping/1/count by count",
				"drill.prompted 3/17 response/damping/1/there"}, r.said())
			_, since := r.runner.Standing()
			for _, tap := range x.taps {
				r.hear(since.Add(tap).Sub(r.now))
				r.step("response", event.StepDone)
			}
			r.hear(since.Add(4990 * unit.Millisecond).Sub(r.now))
			require.Empty(t, r.said(), "not before its time")
			r.hear(30 * unit.Millisecond)
			assert.Equal(t, []string{"drill.answered response/damping/1/there by " + x.by, "drill.prompted 4/17 response/damping/1/level"}, r.said())
			r.hear(4 * unit.Second)
			assert.Equal(t, "drill.answered response/damping/1/level by count", r.said()[0], "a tap is for one prompt")
		})
	}
}

// An Enter within a second of the tilt's prompt may be meant for the count: it is asked
// about and confirms nothing. The next one does.
func TestAnEnterTooEarlyConfirmsNoTilt(t *testing.T) {
	for again, by := range map[bool]string{false: "count", true: "builder"} {
		r := newRig(t, starter(t))
		r.hear(unit.Second)
		r.input(event.DrillStep{Drill: "response", Do: event.StepBegin, Attended: true})
		r.step("response", event.StepConfirm)
		r.set("inner", 988)
		r.hear(7 * unit.Second)
		_, since := r.runner.Standing()
		r.said()
		r.hear(since.Add(900 * unit.Millisecond).Sub(r.now))
		r.step("response", event.StepDone)
		assert.Equal(t,
			[]string{"drill.hint response/damping/1/there: the prompt before was answered by itself; this is the next one: " +
				"press Enter once it is done"}, r.said())
		if again {
			r.hear(unit.Second)
			r.step("response", event.StepDone)
		}
		r.hear(since.Add(5100 * unit.Millisecond).Sub(r.now))
		assert.Equal(t, "drill.answered response/damping/1/there by "+by, r.said()[0])
	}
}

// A tilt is taken anew from its count: the model has to lie level before it.
func TestATiltIsRepeatedFromItsCount(t *testing.T) {
	for do, want := range map[string][2]string{ // at the tilt, and at the prompt behind it
		event.StepRepeat: {"response/damping/1/count", "response/damping/1/level"},
		event.StepBack:   {"response/damping/1/count", "response/damping/1/count"},
	} {
		for i, wait := range []unit.Duration{7 * unit.Second, 12 * unit.Second} {
			r := newRig(t, starter(t))
			r.start("response")
			r.set("inner", 988)
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
	r.hear(unit.Second)
	r.set("inner", 988)
	r.hear(2 * unit.Second)
	for range 6 {
		r.pass(unit.Second)
	}
	assert.Contains(t, r.said(), "drill.answered response/damping/1/count by count")
}

func TestAnswersTellOutputsModeAndWho(t *testing.T) {
	r := newRig(t, starter(t))
	r.hearing.Mode = "damping"
	r.hear(unit.Second)
	r.input(event.DrillStep{Drill: "neutral", Do: event.StepBegin, By: strings.Repeat("Ann", 20)})
	r.step("neutral", event.StepConfirm)
	r.pulses(unit.Second, lead{1, 1_500_000, 0}, lead{7, 1_700_000, 0}, lead{33, 1_500_000, 0})
	d := r.done()
	assert.Equal(t, "damping", d.Mode)
	assert.Equal(t, strings.Repeat("Ann", 13)+"A...", d.Who)
	assert.Equal(t, []int{1, 2, 3, 4, 7}, numbers(d), "those of the sheet, and those heard that a sheet could name")
	assert.Equal(t, event.OutputMove{Output: 2}, outputMove(t, d, 2), "silent")
	for _, e := range r.events {
		if b, ok := e.Data.(event.DrillBeganData); ok {
			assert.Equal(t, d.Who, b.By)
		}
	}

	r = newRig(t, starter(t))
	r.runner = drill.New(r.sheet, mainBus, drill.Tap{})
	r.hearing.Mode = "damping"
	r.start("neutral")
	d = r.done()
	assert.Nil(t, d.Outputs, "nobody listens to the leads")
	assert.Empty(t, d.Mode)
}

func numbers(d event.DrillAnsweredData) (list []int) {
	for _, m := range d.Outputs {
		list = append(list, m.Output)
	}
	return list
}

func TestADrillOfTheLeadsNeedsThem(t *testing.T) {
	r := newRig(t, starter(t))
	r.runner = drill.New(r.sheet, mainBus, drill.Tap{})
	r.step("correction", event.StepBegin)
	assert.Equal(t,
		[]string{"drill.refused: the servo leads are not listened to, and this drill is judged by them: name the capture " +
			"board's port with --leads"}, r.said())

	gone := event.Observation{Tap: board, Kind: event.InputTapDown, Data: []byte("unplugged")}
	for name, want := range map[string][]string{"correction": {"drill.ended interrupted: nothing can be read at leads: unplugged"}, "neutral": nil} {
		r = newRig(t, starter(t))
		r.start(name)
		r.said()
		gone.At = r.now
		r.see(gone)
		assert.Equal(t, want, r.said())
	}
}

// A step that awaits a stick's end with a whole second of it.
func TestTheStickIsHeldForTheWholeOfTheLastSecond(t *testing.T) {
	r := newRig(t, starter(t))
	r.set("inner", 2012)
	r.set("outer", 988)
	r.start("correction")
	r.hear(2 * unit.Second)
	r.said()
	r.set("elevator", 2012)
	r.hear(1100 * unit.Millisecond)
	assert.Empty(t, r.said())
	r.hear(200 * unit.Millisecond)
	assert.Equal(t, []string{"drill.answered correction/pitch/stick by wire", "drill.prompted 4/29 correction/pitch/home"}, r.said())
	r.set("elevator", 1500)
	r.hear(unit.Second)
	assert.Equal(t, "drill.answered correction/pitch/home by wire", r.said()[0])
}
