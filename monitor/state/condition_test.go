package state_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

func TestHowATapDoes(t *testing.T) {
	open := func(change func(*state.Tap)) state.Tap {
		tap := state.Tap{Up: true, LastNS: -1}
		change(&tap)
		return tap
	}
	comes := func(signal event.Signal) state.Tap {
		return open(func(t *state.Tap) { t.Locked, t.Signal, t.LastNS, t.Bytes = true, signal, 7, 25 })
	}
	seen := map[state.Condition]bool{}
	for _, c := range []struct {
		name string
		tap  state.Tap
		want state.Condition
	}{
		{"before all", state.Tap{LastNS: -1}, state.ConditionNotYetOpen},
		{"after a resume", state.Tap{LastNS: 7, PortTally: state.PortTally{Ups: 1}}, state.ConditionNotYetOpen},
		{"pulled out", state.Tap{Why: "gone", LastNS: 7}, state.ConditionNotOpen},
		{"pulled out, and frames lie about it", state.Tap{Why: "gone", Locked: true, Signal: event.SignalLive}, state.ConditionNotOpen},
		{"no character", open(func(*state.Tap) {}), state.ConditionNothingIn},
		{"no frame of them", open(func(t *state.Tap) { t.Bytes = 1 }), state.ConditionUnreadable},
		{"no line of them", open(func(t *state.Tap) { t.Bytes, t.Board = 1, &state.Board{} }), state.ConditionUnreadable},
		{"lines, no pulse", open(func(t *state.Tap) {
			t.Bytes, t.Board = 9, &state.Board{BoardTally: state.BoardTally{Lines: 1}}
		}), state.ConditionNoPulse},
		{"characters come that were frames before", open(func(t *state.Tap) {
			t.Bytes, t.LastNS, t.LineFault = 25, 0, &event.LineFaultData{Cause: "inverted"}
		}), state.ConditionUnreadable},
		{"nothing comes, and that was said", open(func(t *state.Tap) { t.LineFault = &event.LineFaultData{Cause: "nothing"} }), state.ConditionNothingIn},
		{"frames came", open(func(t *state.Tap) { t.Bytes, t.LastNS = 25, 0 }), state.ConditionSilent},
		{"frames come", comes(event.SignalLive), state.ConditionLive},
		{"one was missed", comes(event.SignalMissed), state.ConditionLive},
		{"pulses come", comes(""), state.ConditionLive},
		{"each is flagged", comes(event.SignalLost), state.ConditionNoLiveFrame},
		{"given up", comes(event.SignalFailsafe), state.ConditionFailsafe},
	} {
		got := c.tap.Condition()
		assert.Equal(t, c.want, got, c.name)
		assert.Equal(t, c.tap.Up && c.tap.Locked, got.IsHeard(), c.name)
		assert.Equal(t, c.tap.Up && c.tap.Locked && c.tap.Signal != event.SignalLost, got.HasValues(), c.name)
		seen[got] = true
	}
	for _, c := range state.Conditions() {
		assert.True(t, seen[c], c)
	}
	assert.Len(t, seen, len(state.Conditions()))
}

func TestHowTheEvidenceDoes(t *testing.T) {
	for _, c := range []struct {
		recorder state.Recorder
		want     []state.RecorderTrouble
	}{
		{state.Recorder{Recording: true}, nil},
		{state.Recorder{Recording: true, Trouble: "refused"}, []state.RecorderTrouble{state.TroubleDisk}},
		{state.Recorder{Recording: true, Stalled: true, Trouble: "refused"}, []state.RecorderTrouble{state.TroubleDiskStalled}},
		{state.Recorder{Trouble: "refused"}, []state.RecorderTrouble{state.TroubleNotRecording}},
		{state.Recorder{Stalled: true}, []state.RecorderTrouble{state.TroubleDiskStalled, state.TroubleNotRecording}},
	} {
		assert.Equal(t, c.want, c.recorder.Troubles(), "%+v", c.recorder)
	}
}

func TestHowFarJudgementIsBehind(t *testing.T) {
	for lag, want := range map[unit.Duration]unit.Duration{0: 0, 3 * unit.Second: 0, 3*unit.Second + 1: 3*unit.Second + 1} {
		s := state.State{NowNS: 9_000_000_000, SeenNS: unit.Time(9_000_000_000).Add(-lag)}
		assert.Equal(t, want, s.Behind())
	}
}
