package runner_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill/runner"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

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
	r.runner = runner.New(r.sheet, mainBus, runner.Tap{}, runner.Tap{})
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
	r.runner = runner.New(r.sheet, mainBus, runner.Tap{}, runner.Tap{})
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
