package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

func TestOnScreen(t *testing.T) {
	verdict := func(id, v string) *event.Event {
		return &event.Event{Kind: event.VerdictChanged, About: "claim:" + id, Data: event.VerdictData{Verdict: v}}
	}
	for _, c := range []struct {
		e    *event.Event
		want bool
	}{
		{&event.Event{Kind: event.BusLocked, Data: event.LockedData{}}, true},
		{verdict("mode/damping/back", "seen right"), true},
		{verdict("margin/damping/back", "seen wrong"), true},
		{verdict("mode/damping/back", "stale"), false},
	} {
		assert.Equal(t, c.want, event.OnScreen(c.e), "%+v", c.e)
	}
}

func TestDateOf(t *testing.T) {
	assert.Equal(t, unit.Time(1), event.ShownTime(&event.Event{At: 2, From: 1, Kind: event.SwitchMoved}))
	assert.Equal(t, unit.Time(2), event.ShownTime(&event.Event{At: 2, From: 1, Kind: event.DrillEnded}))
	assert.Equal(t, unit.Time(2), event.ShownTime(&event.Event{At: 2, From: 1, Kind: event.VerdictChanged}))
}

func TestFigures(t *testing.T) {
	assert.Equal(t, "1500 µs", unit.FormatWidth(1_500_000))
	assert.Equal(t, "988.6 µs", unit.FormatWidth(988_625))
	assert.Equal(t, "14.0 ms", unit.FormatDuration(14*unit.Millisecond))
	assert.Equal(t, "0.90 s", unit.FormatDuration(900*unit.Millisecond))
	assert.Equal(t, "1:40.000", unit.FormatDuration(100*unit.Second))
	assert.Equal(t, "2:00:05.250", unit.FormatClock(unit.Time(2*60*unit.Minute+5*unit.Second+250*unit.Millisecond)))
}
