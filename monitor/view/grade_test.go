package view_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/view"
)

func TestGradesOfEvents(t *testing.T) {
	for _, c := range []struct {
		kind string
		data any
		want view.Grade
	}{
		{event.VerdictChanged, event.VerdictData{Verdict: event.VerdictWrong}, view.Wrong},
		{event.VerdictChanged, event.VerdictData{Verdict: event.VerdictRight}, view.Right},
		{event.VerdictChanged, event.VerdictData{Verdict: event.VerdictStale}, view.Plain},
		{event.JudgementFailed, event.FaultData{}, view.Trouble},
		{event.TapDown, event.ReasonData{}, view.Trouble},
		{event.BusSilent, event.SilentData{}, view.Trouble},
		{event.BusLocked, event.LockedData{}, view.Plain},
		{event.BusLate, event.LateData{}, view.Trouble},
		{event.BusLate, event.LateData{Opened: true}, view.Plain},
		{event.LinkLost, event.LinkData{}, view.Trouble},
		{event.LinkRestored, event.LinkData{}, view.Plain},
		{event.FailsafeEntered, event.FailsafeData{}, view.Trouble},
		{event.FailsafeEntered, event.FailsafeData{BeforeLink: true}, view.Plain},
		{event.FailsafeLeft, event.FailsafeData{}, view.Plain},
		{event.ValuesStill, event.ValuesStillData{}, view.Trouble},
		{event.ValuesMoving, event.ValuesStillData{}, view.Plain},
		{event.SwitchMoved, event.SwitchData{Within: true}, view.Plain},
		{event.SwitchMoved, event.SwitchData{}, view.Trouble},
		{event.ModeAsked, event.ModeData{Mode: "damping"}, view.Plain},
		{event.ModeAsked, event.ModeData{}, view.Trouble},
		{event.ModeAsked, event.ModeData{Passing: true}, view.Plain},
		{event.RecordingGap, event.RecordingGapData{}, view.Trouble},
		{event.RecordingGap, event.RecordingGapData{Ended: true}, view.Plain},
		{event.OutputUnsteady, event.OutputUnsteadyData{}, view.Trouble},
		{event.OutputCalm, event.OutputUnsteadyData{}, view.Plain},
	} {
		assert.Equal(t, c.want, view.GradeOf(&event.Event{Kind: c.kind, Data: c.data}), "%s %+v", c.kind, c.data)
	}
}

// Whoever adds a kind of event decides whether it is trouble.
func TestEveryKindIsGraded(t *testing.T) {
	calm := []string{
		event.SessionBegan, event.SessionEnded, event.SessionResumed, event.Mark, event.MarkStruck, event.Reopened, event.ClockStepped,
		event.TapUp, event.BusLocked, event.BusExposure, event.PeriodChanged,
		event.FailsafeLeft, event.LinkRestored, event.FailsafeSettled, event.LossMeasured, event.LossOutputs, event.PowerUpMeasured, event.MemoryTried,
		event.ValuesJumped, event.ValuesMoving, event.ValuesPaused, event.GainSwept, event.GestureMade, event.TravelFree,
		event.TravelClipped, event.OutputClipped, // hands reach ends; a claim says where that is wrong
		event.BoardHeard, event.OutputBack, event.OutputPaced, event.OutputJitter, event.OutputCalm, event.OutputFollows,
		event.OutputReached, event.OutputShifted, event.PapersChanged,
		event.DrillBegan, event.DrillPrompted, event.DrillAnswered, event.DrillHint, event.DrillEnded, event.DrillRefused,
		event.ChannelsHeard, event.ChannelMoved,
		event.ModelRested, event.AnswerFitted, event.GainMeasured, event.EdgeMeasured, event.EntryMeasured, event.LevelMeasured, // claims say what of it is wrong
		event.LevelLearned, event.LimitsLearned, event.TiltHeard, event.TiltSilent, event.TiltHeld,
		event.TiltLaid, event.PhoneTurned, // a phone is there, or was taken off
		event.SoakCounted, event.GoalReached, event.RangeMark, // frames are missed where somebody walks away
	}
	byData := []string{event.VerdictChanged, event.SwitchMoved, event.ModeAsked} // see above
	for _, section := range event.Table() {
		for _, row := range section.Rows {
			want := view.Trouble
			switch {
			case slices.Contains(byData, row.Kind):
				continue
			case slices.Contains(calm, row.Kind):
				want = view.Plain
			}
			assert.Equal(t, want, view.GradeOf(&event.Event{Kind: row.Kind, Data: row.Data}), row.Kind)
		}
	}
}
