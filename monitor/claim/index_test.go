package claim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
)

func TestOnScreen(t *testing.T) {
	index := starter(t).book.Index()
	verdict := func(id, v string) *event.Event {
		return &event.Event{Kind: event.VerdictChanged, About: event.AboutClaim.Called(id), Data: event.VerdictData{Verdict: v}}
	}
	for _, c := range []struct {
		e    *event.Event
		want bool
	}{
		{&event.Event{Kind: event.BusLocked, Data: event.LockedData{}}, true},
		{&event.Event{Kind: event.OutputFollows, Data: event.OutputFollowsData{}}, false},
		{verdict("mode/damping/back", "seen right"), true},
		{verdict("margin/damping/back", "seen right"), false},
		{verdict("passing/damping", "seen right"), false},
		{verdict("margin/damping/back", "seen wrong"), true},
		{verdict("mode/damping/back", "stale"), false},
		{verdict("margin/of/another/sheet", "seen right"), true},
	} {
		assert.Equal(t, c.want, index.OnScreen(c.e), "%+v", c.e)
	}
}
