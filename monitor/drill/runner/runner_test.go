package runner_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill/runner"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sheet/sheettest"
	"benchproof.example/monitor/unit"
)

// modes plays the mode drill to its end, as a builder who needs a second for each.
func modes(r *rig) {
	r.set("inner", 1500)
	r.set("outer", 988)
	r.start("mode")
	for _, at := range [][2]int64{{988, 988}, {1500, 988}, {2012, 988}, {2012, 2012}} {
		r.hear(unit.Second / 2)
		r.set("inner", at[0])
		r.set("outer", at[1])
		r.hear(2 * unit.Second)
	}
}

func TestTheWireAnswersTheModeDrill(t *testing.T) {
	r := newRig(t, starter(t))
	modes(r)
	answer := r.answer()
	assert.Equal(t, "main", answer.Tap)
	assert.Equal(t, event.SignalLive, answer.Signal)
	assert.False(t, answer.Suspect)
	require.Len(t, answer.Channels, 16)
	assert.Equal(t, unit.Width(988_125), move(t, answer, 13).FromNS)
	assert.Equal(t, unit.Width(2_011_875), move(t, answer, 13).ToNS)
	assert.Equal(t, []string{
		"drill.began 5 prompts",
		"drill.prompted 1/5 mode/damping/back",
		"drill.answered mode/damping/back by wire",
		"drill.prompted 2/5 mode/plain/middle",
		"drill.answered mode/plain/middle by wire",
		"drill.prompted 3/5 mode/upright/front/back/way/1/outer/back",
		"drill.answered mode/upright/front/back/way/1/outer/back by wire",
		"drill.prompted 4/5 mode/upright/front/back",
		"drill.answered mode/upright/front/back by wire",
		"drill.prompted 5/5 mode/hold-course/front/front",
		"drill.answered mode/hold-course/front/front by wire",
		"drill.ended finished",
	}, r.said())
	assert.Empty(t, r.runner.Active())
	assert.Equal(t, unit.Never, r.runner.Due())
}

func TestOnsets(t *testing.T) {
	r := newRig(t, starter(t))
	modes(r)
	var began, prompted unit.Time
	for _, e := range r.events {
		assert.Equal(t, "drill:mode", e.About)
		switch e.Kind {
		case event.DrillBegan:
			began = e.At
		case event.DrillPrompted:
			prompted = e.At
		case event.DrillAnswered:
			assert.Equal(t, prompted, e.From, "an answer spans from its prompt")
		case event.DrillEnded:
			assert.Equal(t, began, e.From, "a drill spans from its beginning")
		}
	}
}

func TestTheWireAnswersOnlyWhatStands(t *testing.T) {
	for name, c := range map[string]struct {
		drill    string
		follow   func(r *rig)
		answered bool
	}{
		"a switch for long enough":      {"mode", func(r *rig) { r.set("inner", 988); r.hear(700 * unit.Millisecond) }, true},
		"a switch for too short a time": {"mode", func(r *rig) { r.set("inner", 988); r.hear(590 * unit.Millisecond) }, false},
		"a switch at the tolerance":     {"mode", func(r *rig) { r.set("inner", 999); r.hear(unit.Second) }, true},
		"a switch beyond the tolerance": {"mode", func(r *rig) { r.set("inner", 1002); r.hear(unit.Second) }, false},
		"a switch that left once": {"mode", func(r *rig) {
			r.set("inner", 988)
			r.hear(500 * unit.Millisecond)
			r.set("inner", 1500)
			r.hear(4 * period)
			r.set("inner", 988)
			r.hear(500 * unit.Millisecond)
		}, false},
		"three frames elsewhere are no leaving": {"mode", func(r *rig) {
			r.set("inner", 988)
			r.hear(350 * unit.Millisecond)
			r.set("inner", 1500)
			r.hear(3 * period)
			r.set("inner", 988)
			r.hear(350 * unit.Millisecond)
		}, true},
		"a preset, flagged": {"mode", func(r *rig) {
			r.hearing.Signal = event.SignalFailsafe
			r.frame.Flags = 8
			r.set("inner", 988)
			r.hear(unit.Second)
		}, false},
		"a flag just begun":            {"mode", func(r *rig) { r.hearing.Signal = event.SignalFailsafe; r.set("inner", 988); r.hear(unit.Second) }, false},
		"a preset, suspected":          {"mode", func(r *rig) { r.hearing.Suspect = true; r.set("inner", 988); r.hear(unit.Second) }, false},
		"missed frames prove nothing":  {"mode", func(r *rig) { r.frame.Flags = 4; r.set("inner", 988); r.hear(unit.Second) }, false},
		"damaged frames prove nothing": {"mode", func(r *rig) { r.frame.Bad = true; r.set("inner", 988); r.hear(unit.Second) }, false},
		"a silence ends what stood": {"mode", func(r *rig) {
			r.set("inner", 988)
			r.hear(300 * unit.Millisecond)
			r.now = r.now.Add(unit.Second)
			r.hear(300 * unit.Millisecond)
		}, false},
		"a stick at its end":                 {"order", func(r *rig) { r.set("aileron", 1040); r.hear(unit.Second) }, true},
		"a stick short of its end":           {"order", func(r *rig) { r.set("aileron", 1055); r.hear(unit.Second) }, false},
		"another stick moves along":          {"order", func(r *rig) { r.set("aileron", 988); r.set("rudder", 1535); r.hear(unit.Second) }, false},
		"another stick moves along a little": {"order", func(r *rig) { r.set("aileron", 988); r.set("rudder", 1520); r.hear(unit.Second) }, true},
		"the throttle moves along":           {"order", func(r *rig) { r.set("aileron", 988); r.set("throttle", 1100); r.hear(unit.Second) }, false},
		"a switch moves along":               {"order", func(r *rig) { r.set("aileron", 988); r.set("outer", 2012); r.hear(unit.Second) }, true},
		"a stick still on its way": {"ends", func(r *rig) {
			for w := int64(1046); w > 988; w-- { // nearly a second within reach of the end
				r.set("aileron", w)
				r.hear(2 * period)
			}
		}, false},
		"a stick that crept to its end":       {"ends", func(r *rig) { r.ramp("aileron", 1500, 988, -1); r.hear(unit.Second) }, true},
		"a stick that was held there already": {"ends", func(r *rig) { r.hear(unit.Second) }, false},
		"a knob at its end":                   {"gain", func(r *rig) { r.set("gain", 1505); r.hear(unit.Second) }, true},
		"a knob short of its end":             {"gain", func(r *rig) { r.set("gain", 1520); r.hear(unit.Second) }, false},
		"neutral is never the wire's":         {"neutral", func(r *rig) { r.hear(10 * unit.Second) }, false},
		"limit learning is never the wire's":  {"limit-learning", func(r *rig) { r.hear(10 * unit.Second) }, false},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.set("gain", 2012)
			if strings.Contains(name, "held there already") {
				r.set("aileron", 988)
			}
			r.start(c.drill)
			r.events = nil
			c.follow(r)
			assert.Equal(t, c.answered, len(r.events) > 0, "%v", r.said())
		})
	}
}

func TestNothingIsAnsweredBeforeTheCautions(t *testing.T) {
	r := newRig(t, starter(t))
	r.set("inner", 988)
	r.hear(unit.Second)
	r.step("mode", event.StepBegin)
	r.hear(5 * unit.Second)
	assert.Equal(t, []string{"drill.began 5 prompts"}, r.said())
}

func TestTheCentreOfAKnobIsForTheBuilder(t *testing.T) {
	r := newRig(t, starter(t))
	r.set("gain", 1756)
	r.start("gain")
	r.set("gain", 1500)
	r.hear(unit.Second)
	r.set("gain", 2012)
	r.hear(unit.Second)
	r.set("gain", 1756)
	r.hear(5 * unit.Second)
	r.done()
	r.hear(period) // a drill ends behind what the watchers measured of its last answer
	assert.Equal(t, []string{
		"drill.began 3 prompts", "drill.prompted 1/3 gain/anticlockwise", "drill.answered gain/anticlockwise by wire",
		"drill.prompted 2/3 gain/clockwise", "drill.answered gain/clockwise by wire",
		"drill.prompted 3/3 gain/centre", "drill.answered gain/centre by builder", "drill.ended finished",
	}, r.said())
}

// Two throttles on one stick: each is the other's twin, not a mix.
func TestTwinsMayMoveTogether(t *testing.T) {
	s := small(t, "channels:\n  3: {name: left-motor, kind: throttle, cut: 988, full: 2012}\n  5: {name: right-motor, kind: throttle, cut: 988, full: 2012}\n")
	r := newRig(t, s)
	r.set("left-motor", 988)
	r.set("right-motor", 988)
	r.start("order")
	r.set("left-motor", 2012)
	r.set("right-motor", 2012)
	r.hear(unit.Second)
	assert.Equal(t, "order/left-motor/full", r.answer().Prompt)
}

func TestStepsThatAreRefused(t *testing.T) {
	begun := func(r *rig) { r.step("mode", event.StepBegin) }
	confirmed := func(r *rig) { begun(r); r.step("mode", event.StepConfirm) }
	for name, c := range map[string]struct {
		before func(r *rig)
		step   event.DrillStep
		about  string
		why    string
	}{
		"no such drill": {nil, event.DrillStep{Drill: "dance", Do: "begin"}, "session",
			`got the drill "dance", want one of mode, gain, order, ends, neutral, limit-learning`},
		"a long name": {nil, event.DrillStep{Drill: strings.Repeat("é", 300), Do: "begin"}, "session",
			`got the drill "` + strings.Repeat("é", 40) + `...", want one of`},
		"no such step": {begun, event.DrillStep{Drill: "mode", Do: "hop"}, "drill:mode",
			`got the step "hop", want begin, confirm, done, repeat, back or abandon`},
		"begun twice":           {begun, event.DrillStep{Drill: "mode", Do: "begin"}, "drill:mode", "the drill mode is under way: finish it, or abandon it"},
		"another one under way": {begun, event.DrillStep{Drill: "order", Do: "begin"}, "drill:order", "the drill mode is under way"},
		"confirmed without": {nil, event.DrillStep{Drill: "mode", Do: "confirm"}, "drill:mode",
			"no drill is under way: begin it first, with benchproof drill mode"},
		"done without":             {nil, event.DrillStep{Drill: "mode", Do: "done"}, "drill:mode", "no drill is under way"},
		"abandoned without":        {nil, event.DrillStep{Drill: "mode", Do: "abandon"}, "drill:mode", "no drill is under way"},
		"done before the cautions": {begun, event.DrillStep{Drill: "mode", Do: "done"}, "drill:mode", "the cautions come first"},
		"confirmed twice":          {confirmed, event.DrillStep{Drill: "mode", Do: "confirm"}, "drill:mode", "confirmed already"},
		"back from the first":      {confirmed, event.DrillStep{Drill: "mode", Do: "back"}, "drill:mode", "this is the first prompt"},
		"repeat before cautions":   {begun, event.DrillStep{Drill: "mode", Do: "repeat"}, "drill:mode", "the cautions come first"},
		"of another drill":         {confirmed, event.DrillStep{Drill: "order", Do: "abandon"}, "drill:order", "the drill mode is under way, not this one"},
		"an answer too late": {confirmed, event.DrillStep{Drill: "mode", Do: "done", Prompt: "mode/x"}, "drill:mode",
			"got an answer to another prompt; the one that stands now is 1 of 5: put inner to back"},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			if c.before != nil {
				c.before(r)
			}
			under := r.runner.Active()
			r.events = nil
			r.input(c.step)
			require.Len(t, r.events, 1)
			assert.Equal(t, event.DrillRefused, r.events[0].Kind)
			assert.Equal(t, c.about, r.events[0].About)
			assert.Contains(t, r.events[0].Data.(event.ReasonData).Why, c.why)
			assert.Equal(t, under, r.runner.Active(), "what is under way goes on")
		})
	}
}

func TestRefusalsOfTheBench(t *testing.T) {
	r := newRig(t, starter(t))
	r.see(event.Observation{Kind: event.InputDrillStep, Data: []byte("{")})
	assert.Contains(t, r.said()[0], "drill.refused: got a drill step that is not readable")

	r.runner = runner.New(r.sheet, runner.Tap{}, leads, runner.Tap{})
	r.step("mode", event.StepBegin)
	assert.Contains(t, r.said()[0], "no bus is listened to")

	r.runner = runner.New(small(t, "channels:\n  5: {name: flaps, kind: fixed, value: 1500}\n"), mainBus, leads, runner.Tap{})
	r.step("mode", event.StepBegin)
	assert.Contains(t, r.said()[0], "this one allows no drill")
}

func TestAnAnswerThatNamesItsPrompt(t *testing.T) {
	r := newRig(t, starter(t))
	r.start("neutral")
	r.hear(unit.Second)
	r.input(event.DrillStep{Drill: "neutral", Do: event.StepDone, Prompt: "neutral/sticks"})
	assert.Equal(t, "neutral/sticks", r.answer().Prompt)
}

func TestEnds(t *testing.T) {
	for name, c := range map[string]struct {
		end  func(r *rig)
		want string
	}{
		"abandoned": {func(r *rig) { r.step("order", event.StepAbandon) }, "abandoned"},
		"timed out": {func(r *rig) { r.pass(121 * unit.Second) }, "timed out: nothing was answered for 2 minutes"},
		"tap gone": {func(r *rig) {
			r.see(event.Observation{At: r.now, Tap: tap, Kind: event.InputTapDown, Data: []byte("unplugged")})
		}, "interrupted: nothing can be read at main: unplugged"},
		"resumed":            {func(r *rig) { r.see(event.Observation{At: r.now, Kind: event.InputResume}) }, "interrupted: benchproof was stopped meanwhile"},
		"gap":                {func(r *rig) { r.see(event.Observation{At: r.now, Kind: event.InputRecordingGap}) }, "interrupted: the recording has a gap"},
		"over":               {func(r *rig) { r.see(event.Observation{At: r.now, Kind: event.InputEnd}) }, "interrupted: the sitting is over"},
		"another tap gone":   {func(r *rig) { r.see(event.Observation{At: r.now, Tap: tap + 1, Kind: event.InputTapDown}) }, ""},
		"the signal lost":    {func(r *rig) { r.hearing.Signal = event.SignalFailsafe; r.frame.Flags = 8; r.hear(10 * unit.Second) }, ""},
		"a while of nothing": {func(r *rig) { r.pass(119 * unit.Second) }, ""},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.start("order")
			r.events = nil
			c.end(r)
			if c.want == "" {
				assert.Empty(t, r.said())
				assert.Equal(t, "order", r.runner.Active())
				return
			}
			assert.Equal(t, []string{"drill.ended " + c.want}, r.said())
			assert.Empty(t, r.runner.Active())
			c.end(r)
			for _, s := range r.said() {
				assert.Contains(t, s, "drill.refused", "nothing ends twice")
			}
		})
	}
}

func TestPatienceStartsAnewWithEachPrompt(t *testing.T) {
	r := newRig(t, starter(t))
	r.start("neutral")
	for range 3 {
		r.pass(115 * unit.Second)
		r.done()
	}
	assert.Equal(t, "neutral", r.runner.Active())
	r.pass(121 * unit.Second)
	assert.Empty(t, r.runner.Active())

	r.step("mode", event.StepBegin)
	r.pass(121 * unit.Second)
	assert.Contains(t, r.said(), "drill.ended timed out: nothing was answered for 2 minutes", "cautions that nobody confirms")
}

func TestNothingBeginsInAGapOfTheRecording(t *testing.T) {
	r := newRig(t, starter(t))
	r.see(event.Observation{Kind: event.InputRecordingGap})
	assert.Empty(t, r.said())
	r.step("mode", event.StepBegin)
	assert.Contains(t, r.said()[0], "drill.refused: the recording has a gap")
}

// A runner that goes through its JSON before each thing it sees says the same.
func TestACheckpointChangesNothing(t *testing.T) {
	play := func(torn bool) []event.Event {
		r := newRig(t, starter(t))
		r.torn = torn
		modes(r)
		r.start("ends")
		r.ramp("aileron", 1500, 1100, -30)
		r.set("aileron", 988)
		r.hear(2 * unit.Second)
		r.frame.Flags = 4
		r.hear(unit.Second)
		r.frame.Flags = 0
		r.hear(unit.Second)
		r.done()
		r.pass(130 * unit.Second)
		return r.events
	}
	whole := play(false)
	require.Greater(t, len(whole), 14)
	assert.Equal(t, whole, play(true))
}

// No step of any form may do harm, and what is reported is always one event.
func FuzzStep(f *testing.F) {
	for _, seed := range []string{
		`{"drill":"mode","do":"begin"}`, `{"drill":"mode","do":"confirm"}`, `{"drill":"mode","do":"done","prompt":"x"}`,
		`{"drill":"mode","do":"abandon"}`, `{"drill":"order","do":"begin"}`, `{"drill":1}`, `null`, `[]`, `{`, "", "\xff",
	} {
		f.Add([]byte(seed), uint8(0))
		f.Add([]byte(seed), uint8(1))
		f.Add([]byte(seed), uint8(2))
	}
	s, err := sheet.Read("starter", sheettest.TwoSwitches())
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, data []byte, stage uint8) {
		r := newRig(t, s)
		if stage%3 > 0 {
			r.step("mode", event.StepBegin)
		}
		if stage%3 > 1 {
			r.step("mode", event.StepConfirm)
		}
		r.events = nil
		r.see(event.Observation{At: r.now, Kind: event.InputDrillStep, Data: data})
		require.NotEmpty(t, r.events)
		for _, e := range r.events {
			require.Less(t, len(e.About), 30)
			if d, ok := e.Data.(event.ReasonData); ok {
				require.NotEmpty(t, d.Why)
				require.Less(t, len(d.Why), 1000)
			}
		}
		r.hear(unit.Second)
		if r.runner.Active() != "" {
			r.step(r.runner.Active(), event.StepAbandon)
		}
		require.Empty(t, r.runner.Active())
	})
}

// Each stick is let go when the next one is asked for, or a little later, and every
// axis is still answered by the bus.
func TestEndsGoesOnByItselfOnEveryAxis(t *testing.T) {
	s := starter(t)
	r := newRig(t, s)
	r.set("gain", 1756)
	r.start("ends")
	last := ""
	for _, step := range []struct {
		name     string
		from, to int64
	}{
		{"aileron", 1500, 988}, {"aileron", 988, 2012}, {"elevator", 1500, 2012}, {"elevator", 2012, 988},
		{"throttle", 1010, 2012}, {"throttle", 2012, 1010}, {"rudder", 1500, 988}, {"rudder", 988, 2012},
		{"gain", 1756, 1500}, {"gain", 1500, 2012},
	} {
		r.hear(unit.Second / 2)
		if last != step.name && last != "" && last != "throttle" {
			r.set(last, 1500)
		}
		last = step.name
		r.ramp(step.name, step.from, step.to, (step.to-step.from)/64)
		r.hear(unit.Second)
	}
	said := r.said()
	assert.Equal(t, "drill.ended finished", said[len(said)-1])
	for _, line := range said {
		assert.NotContains(t, line, "by builder")
	}
}

// A stick that was still on its way home at the prompt does not keep the bus from
// answering: the others are compared with where they stood when the asked one left.
func TestAStickThatGoesHomeAfterThePromptBreaksNoStillness(t *testing.T) {
	r := newRig(t, starter(t))
	r.set("rudder", 1700)
	r.start("order")
	r.hear(unit.Second / 5)
	r.set("rudder", 1500)
	r.hear(unit.Second / 2)
	r.events = nil
	r.set("aileron", 988)
	r.hear(unit.Second)
	assert.Equal(t, "order/aileron/left", r.answer().Prompt)
}
