package monitor_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// A computer that reads nothing while the signal goes has the round begin anew: nothing is judged
// by what was not heard, and everything by the loss that was.
func TestALossWhileTheComputerStalls(t *testing.T) {
	const flagged = bus.Lost | bus.Failsafe
	for name, lasts := range map[string]unit.Duration{"for a moment": unit.Second / 5, "for seconds": 3 * unit.Second} {
		t.Run(name, func(t *testing.T) {
			m := newMishap(starter(t))
			off := func(unheard unit.Duration) {
				m.frames(1)
				m.on, m.frame.Flags, m.now = false, flagged, m.now.Add(unheard)
				m.frames(5)
			}
			stands := func() string { return event.PromptPart(m.engine.View().Prompt) }
			m.frames(3)
			m.until(event.PromptOff, m.frames)
			off(lasts)
			require.Equal(t, event.PromptOn, stands())
			m.do(drill.Failsafe, event.StepDone)
			m.on, m.frame.Flags = true, 0
			m.frames(2)
			require.Empty(t, m.losses)
			for _, c := range m.engine.Claims() {
				if c.Settle.Drill == drill.Failsafe {
					assert.Equal(t, "open", string(c.Verdict), "%s: %s", c.ID, c.Sentence)
				}
			}
			if stands() == event.PromptAway {
				m.do(drill.Failsafe, event.StepDone)
			}
			require.Equal(t, event.PromptOff, stands())
			off(0)
			assert.Equal(t, event.PromptSettle, stands())
		})
	}
}
