package event_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

func TestLateSentences(t *testing.T) {
	for want, d := range map[string]event.LateData{
		"main: 714 frames DELIVERED LATE, after 5.10 s without any: the computer or its adapter stood still; what came in " +
			"that time has no dates of its own": {Frames: 714, SilentNS: 5100 * unit.Millisecond},
		"main: 120 frames lay waiting when listening began and came at once; they have no dates of their own": {
			Frames: 120, SilentNS: unit.Millisecond, Opened: true,
		},
	} {
		assert.Equal(t, want, event.Sentence(&event.Event{Kind: event.BusLate, About: "tap:main", Data: d}))
	}
}
