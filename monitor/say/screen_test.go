package say_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
)

func TestOnScreen(t *testing.T) {
	verdict := func(id, v string) *fact.Event {
		return &fact.Event{Kind: fact.VerdictChanged, About: "claim:" + id, Data: fact.VerdictData{Verdict: v}}
	}
	for _, c := range []struct {
		e    *fact.Event
		want bool
	}{
		{&fact.Event{Kind: fact.BusLocked, Data: fact.LockedData{}}, true},
		{verdict("mode/damping/back", "seen right"), true},
		{verdict("margin/damping/back", "seen right"), false},
		{verdict("passing/damping", "seen right"), false},
		{verdict("margin/damping/back", "seen wrong"), true},
		{verdict("mode/damping/back", "stale"), false},
	} {
		assert.Equal(t, c.want, say.OnScreen(c.e), "%+v", c.e)
	}
}

func TestDateOf(t *testing.T) {
	assert.Equal(t, fact.Time(1), say.DateOf(&fact.Event{At: 2, From: 1, Kind: fact.SwitchMoved}))
	assert.Equal(t, fact.Time(2), say.DateOf(&fact.Event{At: 2, From: 1, Kind: fact.DrillEnded}))
	assert.Equal(t, fact.Time(2), say.DateOf(&fact.Event{At: 2, From: 1, Kind: fact.VerdictChanged}))
}

func TestFigures(t *testing.T) {
	assert.Equal(t, "1500 µs", say.FormatWidth(1_500_000))
	assert.Equal(t, "988.6 µs", say.FormatWidth(988_625))
	assert.Equal(t, "14.0 ms", say.FormatSpan(14*fact.Millisecond))
	assert.Equal(t, "0.90 s", say.FormatSpan(900*fact.Millisecond))
	assert.Equal(t, "1:40.000", say.FormatSpan(100*fact.Second))
	assert.Equal(t, "2:00:05.250", say.FormatClock(2*3600*fact.Second+5*fact.Second+250*fact.Millisecond))
}
