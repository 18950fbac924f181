package runner_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// offStands leads the failsafe drill to the prompt that asks to switch off.
func offStands(t *testing.T) *rig {
	r := newRig(t, starter(t))
	r.start(drill.Failsafe)
	if r.hear(2 * unit.Second); r.standing() == "failsafe/soon/away" {
		r.step(drill.Failsafe, event.StepDone)
	}
	require.Equal(t, "failsafe/soon/off", r.standing())
	r.hear(unit.Second)
	r.said()
	return r
}

func (r *rig) standing() string {
	id, _ := r.runner.Standing()
	return id
}

// prompted are the prompts that were shown since the last time, and hints by their first words.
func (r *rig) prompted() (list []string) {
	for _, e := range r.events {
		switch d := e.Data.(type) {
		case event.DrillPromptedData:
			list = append(list, d.Prompt)
		case event.DrillHintData:
			list = append(list, strings.SplitN(d.Why, ",", 2)[0])
		}
	}
	r.events = nil
	return list
}

const goneUnheard = "The signal is gone"

// A loss that went by unheard has the round begin anew, and nobody stands before a prompt for ever.
func TestALossUnheardBeginsTheRoundAnew(t *testing.T) {
	for _, signal := range []event.Signal{event.SignalFailsafe, event.SignalLost, event.SignalMissed} {
		r := offStands(t)
		r.hearing.Signal = signal
		r.hear(2900 * unit.Millisecond)
		assert.Empty(t, r.prompted(), "it may be measured yet")
		r.hear(200 * unit.Millisecond)
		require.Equal(t, []string{"failsafe/soon/on", goneUnheard}, r.prompted(), signal)
		r.hear(2 * unit.Second)
		r.step(drill.Failsafe, event.StepDone)
		r.hear(10 * unit.Second)
		assert.Equal(t, []string{"failsafe/soon/back"}, r.prompted(), "it is said once")
		r.hearing.Signal = event.SignalLive
		r.hear(period)
		assert.Equal(t, []string{"failsafe/soon/away"}, r.prompted())
		if r.hear(2 * unit.Second); r.standing() == "failsafe/soon/away" {
			r.step(drill.Failsafe, event.StepDone)
		}
		r.hear(20 * unit.Second)
		assert.Equal(t, []string{"failsafe/soon/off"}, r.prompted())
	}
}

// Who forgets Enter goes on too: the signal is there.
func TestTheSignalThatIsBackBeginsTheRoundAnew(t *testing.T) {
	r := offStands(t)
	r.torn, r.hearing.Signal = true, event.SignalFailsafe
	r.pass(unit.Second)
	r.pass(4 * unit.Second)
	require.Equal(t, "failsafe/soon/on", r.standing(), "by beats too")
	r.hearing.Signal = event.SignalLive
	r.hear(period)
	assert.Equal(t, "failsafe/soon/away", r.standing())
}

func TestWhatBeginsNoRoundAnew(t *testing.T) {
	for name, play := range map[string]func(r *rig){
		"a loss that is measured": func(r *rig) {
			r.hearing.Signal, r.hearing.Loss = event.SignalFailsafe, event.PhaseLost
			r.hear(10 * unit.Second)
		},
		"a transmitter that is on": func(r *rig) { r.hear(10 * unit.Second) },
		"misses between": func(r *rig) {
			for range 5 {
				r.hearing.Signal = event.SignalMissed
				r.hear(2 * unit.Second)
				r.hearing.Signal = event.SignalLive
				r.hear(period)
			}
		},
	} {
		r := offStands(t)
		play(r)
		assert.NotContains(t, r.prompted(), goneUnheard, name)
	}
}

// Where the builder went on by hand and nothing was lost, the last prompt of the round says what it needs.
func TestAReturnOfNothing(t *testing.T) {
	r := offStands(t)
	for range 3 {
		r.step(drill.Failsafe, event.StepDone)
		r.hear(2 * unit.Second)
	}
	require.Equal(t, "failsafe/soon/back", r.standing())
	r.prompted()
	r.hear(10 * unit.Second)
	assert.Equal(t, []string{"The signal is there"}, r.prompted(), "once")
}
