package runner_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// at brings the rig to a prompt of a drill.
func (r *rig) at(name, prompt string) {
	r.step(name, event.StepBegin)
	r.step(name, event.StepConfirm)
	for n := 0; ; n++ {
		standing, _ := r.runner.Standing()
		if standing == prompt {
			break
		}
		require.Less(r.t, n, 40, "the drill %s comes to %s", name, prompt)
		r.step(name, event.StepDone)
	}
	r.hear(unit.Second / 4)
}

// waiting are the sentences of what is waited for now.
func (r *rig) waiting() (texts []string) {
	for _, w := range r.runner.Prompt(r.now, &r.hearing).Waits {
		texts = append(texts, w.Text)
	}
	return texts
}

func TestAPromptSaysWhatItSeesAndWaitsFor(t *testing.T) {
	for _, x := range []struct {
		drill, prompt string
		does          func(*rig)
		want          []string
	}{
		{"mode", "mode/plain/middle", func(r *rig) { r.set("inner", 988) }, []string{"inner: sees 988 µs, waits for 1488 to 1512 µs"}},
		{"mode", "mode/plain/middle", func(r *rig) { r.set("inner", 1505) }, []string{"inner: sees 1505 µs, as asked: hold it there"}},
		{"mode", "mode/plain/middle", func(r *rig) { r.hearing.Signal = event.SignalLost }, []string{"inner: no live frame to see it in: is the transmitter on?"}},
		{"mode", "mode/plain/middle", func(r *rig) { r.hearing.Suspect = true; r.set("inner", 988) }, []string{
			"many channels leapt at once, as presets do: move one stick by itself, so that it is seen that a hand does",
			"inner: sees 988 µs, waits for 1488 to 1512 µs"}},
		{"order", "order/aileron/left", func(r *rig) { r.set("aileron", 1200) }, []string{"aileron: sees 1200 µs, waits for 928 to 1048 µs"}},
		{"order", "order/aileron/left", func(r *rig) { r.set("aileron", 1010); r.set("rudder", 1560) }, []string{
			"aileron: sees 1010 µs, as asked: hold it there", "rudder: sees 1560 µs, moved along: waits until it is back at 1500 µs"}},
		{"gain", "gain/centre", func(r *rig) { r.set("gain", 1700) }, []string{"gain: sees 1700 µs; whether it is there only you can see"}},
		{"neutral", "neutral/sticks", func(*rig) {}, nil},
		{"failsafe", "failsafe/soon/off", func(r *rig) { r.set("aileron", 1600) }, []string{"signal: sees live frames, waits for no live frame",
			"aileron: sees 1600 µs, as asked", "elevator: sees 1500 µs, is to be less than 1440 µs or more than 1560 µs",
			"outer: sees 1500 µs, is to be at back, 988 µs"}},
		{"failsafe", "failsafe/soon/off", func(r *rig) { r.hearing.Signal = event.SignalLost }, []string{"signal: sees no live frame, waits for no live frame"}},
		{"failsafe", "failsafe/soon/settle", func(r *rig) { r.hearing.Signal = event.SignalLost },
			[]string{"signal: sees no live frame, waits for values that rest"}},
		{"failsafe", "failsafe/soon/back", func(r *rig) { r.hearing.Signal = event.SignalLost }, []string{"signal: sees no live frame, waits for live frames"}},
	} {
		r := newRig(t, starter(t))
		r.set("inner", 2012)
		r.at(x.drill, x.prompt)
		r.hear(unit.Second / 4)
		x.does(r)
		r.hear(unit.Second / 4)
		assert.Equal(t, x.want, r.waiting(), "%s", x.prompt)
	}
}

// What stands where it is to go already has to be moved once, and is told so.
func TestAStickThatStandsThereHasToMove(t *testing.T) {
	r := newRig(t, starter(t))
	r.set("aileron", 988)
	r.hear(unit.Second)
	r.at("order", "order/aileron/left")
	r.hear(unit.Second / 2)
	assert.Equal(t, []string{"aileron: sees 988 µs, stands there already: move it away first, then back"}, r.waiting())
}

// Which controls are away from their presets shows as they go.
func TestWhatIsAwayAndWhatIsNot(t *testing.T) {
	r := newRig(t, starter(t))
	r.set("inner", 1500)
	r.set("gain", 1756)
	r.at("failsafe", "failsafe/soon/away")
	r.hear(unit.Second / 2)
	assert.Equal(t, []string{"throttle: sees 1010 µs, waits for more than 1060 µs", "gain: sees 1756 µs, waits for less than 1696 µs or more than 1816 µs",
		"inner: sees 1500 µs, waits for less than 1440 µs or more than 1560 µs"}, r.waiting())
	r.set("throttle", 1400)
	r.hear(unit.Second / 2)
	assert.Equal(t, []string{"throttle: sees 1400 µs, as asked", "gain: sees 1756 µs, waits for less than 1696 µs or more than 1816 µs",
		"inner: sees 1500 µs, waits for less than 1440 µs or more than 1560 µs"}, r.waiting())
}

// Whoever moves what is asked for has the whole of the time again, but not without an end.
func TestPatience(t *testing.T) {
	const name = "order"
	begun := func() *rig {
		r := newRig(t, starter(t))
		r.at(name, "order/aileron/left")
		return r
	}
	left := func(r *rig) unit.Duration { return r.runner.Prompt(r.now, &r.hearing).LeftNS }
	r := begun()
	r.hear(100 * unit.Second)
	assert.Less(t, left(r), 21*unit.Second)
	assert.Equal(t, "The drill ends by itself in less than 30 s: do what is asked for, or answer.", r.runner.Prompt(r.now, &r.hearing).Warning)
	r.set("rudder", 1700)
	r.hear(unit.Second)
	assert.Less(t, left(r), 20*unit.Second, "another control")
	r.set("aileron", 1480)
	r.hear(unit.Second)
	assert.Less(t, left(r), 19*unit.Second, "a touch")
	r.set("aileron", 1300)
	r.hear(unit.Second)
	assert.Greater(t, left(r), 118*unit.Second)
	assert.Empty(t, r.runner.Prompt(r.now, &r.hearing).Warning)
	r.hear(121 * unit.Second)
	assert.Equal(t, event.DrillEndedData{How: "timed out", Why: "nothing was answered for 3 minutes"}, last[event.DrillEndedData](r))
	assert.Nil(t, r.runner.Prompt(r.now, &r.hearing))

	r = begun()
	for range 50 {
		r.set("aileron", 1300)
		r.hear(6 * unit.Second)
		r.set("aileron", 1400)
		r.hear(6 * unit.Second)
	}
	assert.Equal(t, event.DrillEndedData{How: "timed out", Why: "nothing was answered for 10 minutes"}, last[event.DrillEndedData](r))
}

// A prompt that ends by itself has no time to run out, cautions do.
func TestWhatHasTimeToRunOut(t *testing.T) {
	r := newRig(t, starter(t))
	r.step("failsafe", event.StepBegin)
	p := r.runner.Prompt(r.now, &r.hearing)
	assert.Equal(t, &state.Prompt{Waits: []state.Wait{}, LeftNS: 120 * unit.Second}, p)
	r.step("failsafe", event.StepConfirm)
	r.at("failsafe", "failsafe/later/wait")
	assert.Zero(t, r.runner.Prompt(r.now, &r.hearing).LeftNS)
}
