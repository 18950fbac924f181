package runner_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// ask begins a drill for somebody who can be asked.
func (r *rig) ask(name string) {
	r.hear(unit.Second)
	r.input(event.DrillStep{Drill: name, Do: event.StepBegin, Attended: true})
	r.hear(unit.Second)
	r.step(name, event.StepConfirm)
	r.events = nil
}

func TestAnEnterJustAfterAnAutomaticAdvanceAnswersNothing(t *testing.T) {
	for name, c := range map[string]struct {
		wait unit.Duration
		want []string
	}{
		"too early": {unit.Second - unit.Millisecond,
			[]string{"drill.hint gain/centre: the prompt before was answered by itself; this is the next one: press Enter " +
				"once it is done"}},
		"in time": {unit.Second, []string{"drill.answered gain/centre by builder"}},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.set("gain", 1756)
			r.ask("gain")
			r.set("gain", 1500)
			r.hear(unit.Second)
			r.set("gain", 2012)
			for id, since := r.runner.Standing(); id != "gain/centre" || r.now < since; id, since = r.runner.Standing() {
				r.hear(period)
			}
			r.events = nil
			r.now = r.now.Add(c.wait)
			r.step("gain", event.StepDone)
			assert.Equal(t, c.want, r.said())
		})
	}
}

func TestRepeatAndBack(t *testing.T) {
	r := newRig(t, starter(t))
	r.ask("neutral")
	r.set("aileron", 1900)
	r.hear(unit.Second)
	r.step("neutral", event.StepRepeat)
	r.hear(unit.Second)
	assert.Equal(t, unit.Width(1_900_000), move(t, r.done(), aileron).FromNS, "measured anew")
	r.hear(unit.Second)
	r.step("neutral", event.StepBack)
	assert.Equal(t, []string{
		"drill.prompted 1/4 neutral/sticks", "drill.answered neutral/sticks by builder",
		"drill.prompted 2/4 neutral/idle", "drill.prompted 1/4 neutral/sticks",
	}, r.said())

	r.step("neutral", event.StepAbandon)
	r.ask(drill.Failsafe)
	r.step(drill.Failsafe, event.StepRepeat)
	assert.Contains(t, r.said()[0], "can't be taken back")
}

// Whether a knob is in the centre of its turn is for the eye, but that it was not
// turned at all is not.
func TestAKnobThatWasNotTurnedIsAskedAbout(t *testing.T) {
	r := newRig(t, starter(t))
	r.ask("gain")
	for _, width := range []int64{1500, 2012} {
		r.set("gain", width-100)
		r.hear(unit.Second)
		r.set("gain", width)
		r.hear(unit.Second)
	}
	r.said()
	r.hear(unit.Second)
	r.step("gain", event.StepDone)
	assert.Equal(t, []string{"drill.hint gain/centre: no channel moved: press Enter again if gain is really there, or move it now"}, r.said())
	r.set("gain", 1756)
	r.hear(unit.Second)
	r.step("gain", event.StepDone)
	assert.Equal(t, unit.Width(2_011_875), move(t, r.answer(), 9).FromNS, "as when it was asked about")
}

func TestNothingMovedAndAWrongStickAreAskedAbout(t *testing.T) {
	left, right := int64(988), int64(1500)
	for name, c := range map[string]struct {
		play func(r *rig)
		want []string
	}{
		"nothing moved, and so it is": {func(r *rig) { r.step("order", "done"); r.hear(unit.Second); r.step("order", "done") },
			[]string{"drill.hint order/aileron/left: no channel moved: press Enter again if aileron is really there, or move " +
				"it now", "drill.answered order/aileron/left by builder"}},
		"a wrong stick, then the right one": {func(r *rig) {
			r.set("elevator", left)
			r.hear(unit.Second)
			r.step("order", "done")
			r.hear(unit.Second)
			r.set("elevator", right)
			r.hear(unit.Second)
			r.set("aileron", left)
			r.hear(unit.Second)
		}, []string{"drill.hint order/aileron/left: elevator moved, aileron was asked for: press Enter again if the right " +
			"control was moved, or move the other one now", "drill.answered order/aileron/left by wire"}},
		"the right stick, which moves another channel": {func(r *rig) {
			r.set("rudder", left)
			r.hear(unit.Second)
			r.step("order", "done")
			r.hear(unit.Second)
			r.step("order", "done")
		}, []string{"drill.hint order/aileron/left: rudder moved, aileron was asked for: press Enter again if the right " +
			"control was moved, or move the other one now", "drill.answered order/aileron/left by builder"}},
		"a wrong stick that is let go, then the right one": {func(r *rig) {
			r.set("elevator", left)
			r.hear(unit.Second)
			r.set("elevator", right)
			r.hear(unit.Second)
			r.set("aileron", left)
			r.hear(unit.Second)
		}, []string{"drill.answered order/aileron/left by wire"}},
		"the other way, then the right one": {func(r *rig) {
			r.set("aileron", 2012)
			r.hear(unit.Second)
			r.step("order", "done")
			r.hear(unit.Second)
			r.set("aileron", left)
			r.hear(unit.Second)
		}, []string{"drill.hint order/aileron/left: aileron went the other way: press Enter again if it is held as asked, " +
			"or move it there now", "drill.answered order/aileron/left by wire"}},
		"the other way, since it is reversed": {func(r *rig) {
			r.set("aileron", 2012)
			r.hear(unit.Second)
			r.step("order", "done")
			r.hear(unit.Second)
			r.step("order", "done")
		}, []string{"drill.hint order/aileron/left: aileron went the other way: press Enter again if it is held as asked, " +
			"or move it there now", "drill.answered order/aileron/left by builder"}},
		"another channel that moves along": {func(r *rig) {
			r.set("aileron", left)
			r.set("elevator", left)
			r.hear(unit.Second)
			r.step("order", "done")
		}, []string{"drill.answered order/aileron/left by builder"}},
		"short of its end": {func(r *rig) { r.set("aileron", 1100); r.hear(unit.Second); r.step("order", "done") },
			[]string{"drill.answered order/aileron/left by builder"}},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.torn = true
			r.ask("order")
			r.hear(unit.Second)
			c.play(r)
			d := r.answer()
			said := r.said()
			assert.Equal(t, c.want, said[:len(said)-1])
			switch name {
			case "the right stick, which moves another channel":
				m := move(t, d, 4)
				assert.Equal(t, []unit.Width{1_500_000, 988_125}, []unit.Width{m.FromNS, m.LeastNS}, "what moved before the question counts")
			case "another channel that moves along":
				m := move(t, d, 2)
				assert.Equal(t, []unit.Width{1_500_000, 988_125}, []unit.Width{m.FromNS, m.LeastNS})
			case "a wrong stick that is let go, then the right one":
				m := move(t, d, 2)
				assert.Equal(t, []unit.Width{1_500_000, 1_500_000, 1_500_000}, []unit.Width{m.FromNS, m.LeastNS, m.MostNS})
			case "the other way, since it is reversed":
				m := move(t, d, aileron)
				assert.Equal(t, []unit.Width{1_500_000, 2_011_875}, []unit.Width{m.FromNS, m.ToNS})
			case "a wrong stick, then the right one":
				assert.Equal(t, unit.Width(1_500_000), move(t, d, aileron).FromNS)
				m := move(t, d, 2)
				assert.Equal(t, []unit.Width{1_500_000, 1_500_000, 1_500_000}, []unit.Width{m.FromNS, m.LeastNS, m.MostNS}, "what went home before is no company of it")
			}
		})
	}
}

// A channel that stands at its preset when the signal goes shows nothing: who can be asked
// is asked before that, once, and the answer has the doubt for all.
func TestAChannelAtItsPresetIsAskedAbout(t *testing.T) {
	const both = "throttle and inner stand where they should go without a signal"
	for name, c := range map[string]struct {
		attended bool
		play     func(r *rig)
		want     []string
		doubt    string
	}{
		"asked, and left so": {true, func(r *rig) {
			r.set("gain", 1400)
			r.hear(unit.Second)
			r.step("failsafe", "done")
			r.hear(unit.Second)
			r.step("failsafe", "done")
		}, []string{"drill.hint failsafe/soon/away: " + both + ": press Enter again to go on so, and what the receiver does there may not " +
			"be told; or move them elsewhere now", "drill.answered failsafe/soon/away by builder"}, both},
		"asked, and moved": {true, func(r *rig) {
			r.set("gain", 1400)
			r.set("inner", 2012)
			r.hear(unit.Second)
			r.step("failsafe", "done")
			r.set("throttle", 1400)
			r.hear(unit.Second)
		}, []string{"drill.hint failsafe/soon/away: throttle stands where it should go without a signal: press Enter again to go on so, and " +
			"what the receiver does there may not be told; or move it elsewhere now", "drill.answered failsafe/soon/away by wire"}, ""},
		"asked, and moved until just now": {true, func(r *rig) {
			r.set("gain", 1400)
			r.set("inner", 2012)
			r.hear(unit.Second)
			r.step("failsafe", "done")
			r.set("throttle", 1400)
			r.hear(300 * unit.Millisecond)
			r.step("failsafe", "done")
		}, []string{"drill.hint failsafe/soon/away: throttle stands where it should go without a signal: press Enter again to go on so, and " +
			"what the receiver does there may not be told; or move it elsewhere now", "drill.answered failsafe/soon/away by builder"}, ""},
		"nobody to be asked, and at once": {false, func(r *rig) { r.step("failsafe", "done") },
			[]string{"drill.answered failsafe/soon/away by builder"}, "throttle, gain and inner stand where they should go without a signal"},
		"nothing was heard for a while": {true, func(r *rig) { r.pass(unit.Second); r.step("failsafe", "done") },
			[]string{"drill.answered failsafe/soon/away by builder"}, ""},
		"not live": {true, func(r *rig) {
			r.hear(unit.Second)
			r.hearing.Signal = event.SignalFailsafe
			r.step("failsafe", "done")
		}, []string{"drill.answered failsafe/soon/away by builder"}, ""},
		"nobody to be asked": {false, func(r *rig) { r.set("gain", 1400); r.hear(unit.Second); r.step("failsafe", "done") },
			[]string{"drill.answered failsafe/soon/away by builder"}, both},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, starter(t))
			r.torn = true
			r.set("throttle", 988)
			r.set("inner", 1500)
			r.set("gain", 1756)
			if c.attended {
				r.ask(drill.Failsafe)
			} else {
				r.start(drill.Failsafe)
				r.events = nil
			}
			c.play(r)
			d := r.answer()
			said := r.said()
			assert.Equal(t, c.want, said[:len(said)-1])
			assert.Equal(t, c.doubt, d.Doubt)
			assert.Contains(t, d.Text, "put these visibly away")
			switch name {
			case "asked, and left so":
				m := move(t, d, 9)
				assert.Greater(t, m.FromNS, unit.Width(1_700_000), "what moved before the question counts")
			case "asked, and moved until just now":
				m := move(t, d, 3)
				assert.Greater(t, m.ToNS, unit.Width(1_300_000), "and what moved since")
			}
		})
	}
}

// An Enter that cuts short what is waited for is noted with what that costs.
func TestAnEarlyEnterIsNoted(t *testing.T) {
	r := newRig(t, starter(t))
	r.start(drill.Failsafe)
	for _, c := range []struct {
		prompt, loss string
		waits        unit.Duration
		doubt        string
	}{
		{"soon/away", "", 0, "throttle and inner stand where they should go without a signal"},
		{"soon/off", "", unit.Second, "before the wire showed it: that the transmitter is off rests on your word, and a loss may not be told from none"},
		{"soon/settle", event.PhaseLost, unit.Second, "before the wire showed it: what the receiver does later, such as a preset that comes late, is not seen"},
		{"soon/on", event.PhaseSettled, unit.Second, ""},
		{"soon/back", event.PhaseSettled, unit.Second, "before the wire showed it: how soon control is back is not known"},
		{"later/wait", "", 2 * unit.Second, "1:58.000 before its time: presets that the transmitter sends now and then may not have been sent by then"},
	} {
		if c.waits == 0 {
			r.set("throttle", 988)
			r.set("inner", 1500)
		}
		r.hearing.Loss = c.loss
		id, since := r.runner.Standing()
		require.Equal(t, "failsafe/"+c.prompt, id)
		r.hear(100 * unit.Millisecond)
		r.pass(since.Add(c.waits).Sub(r.now))
		assert.Equal(t, c.doubt, r.done().Doubt, c.prompt)
	}
}

// One that comes with the end of the wait is in time.
func TestAnEnterInTimeIsNotEarly(t *testing.T) {
	r := newRig(t, starter(t))
	r.start(drill.PowerUp)
	r.hear(100 * unit.Millisecond)
	r.done()
	_, since := r.runner.Standing()
	r.now = since.Add(10 * unit.Second)
	assert.Empty(t, r.done().Doubt)
}

// What moves only while others are asked for needs no doubt in an answer of the wire.
func TestADoubtIsOfTheBuildersWordAlone(t *testing.T) {
	r := newRig(t, starter(t))
	r.start("order")
	r.hear(unit.Second)
	r.step("order", event.StepDone)
	assert.Equal(t, "aileron did not move", r.answer().Doubt)
	r.set("aileron", 2012)
	r.hear(unit.Second)
	d := r.answer()
	assert.Equal(t, []string{"wire", ""}, []string{d.By, d.Doubt})
}
