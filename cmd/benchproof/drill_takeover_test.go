package main

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/unit"
)

// Who takes a drill over sees the rest of the prompt's time counted, as anybody does who was
// there when it was shown.
func TestHowLongAPromptThatIsTakenOverHasToGo(t *testing.T) {
	shown := time.Date(2026, 5, 2, 11, 0, 0, 0, time.UTC)
	e := drillDialogue{plan: &drill.Plan{Prompts: []drill.Prompt{
		{ID: "held", Until: drill.Condition{After: 6 * unit.Second, Hold: true}}, {ID: "answered"},
	}}}
	for _, x := range []struct {
		prompt       string
		passed, left time.Duration
	}{
		{"held", 0, 6 * time.Second},
		{"held", 3500 * time.Millisecond, 2500 * time.Millisecond},
		{"held", -time.Millisecond, 6 * time.Second}, // dates are whole milliseconds
		{"held", 10 * time.Second, -4 * time.Second},
	} {
		assert.Equal(t, x.left, e.left(x.prompt, shown, shown.Add(x.passed)))
	}
	assert.LessOrEqual(t, e.left("answered", shown, shown), time.Duration(0), "it does not end by itself")
}
