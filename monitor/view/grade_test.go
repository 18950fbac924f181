package view_test

import (
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
