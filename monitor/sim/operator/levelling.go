package operator

import (
	"fmt"
	"strings"
	"time"

	"benchproof.example/monitor/event"
)

// levelling lays the model on its sides, and lets it lie.
func (h *Operator) levelling(prompt string) []Step {
	if event.PromptPart(prompt) != "lay" {
		return []Step{{Wait: h.milliseconds(800, 1500)}}
	}
	axis, to := "pitch", 30+h.Rand.IntN(50)
	if strings.HasPrefix(prompt, "levelling/1/") {
		to = 0
	}
	return []Step{
		{Wait: h.milliseconds(300, 900), Do: fmt.Sprintf("tilt %s %d over %v", axis, 20, h.milliseconds(500, 900))},
		{Wait: time.Second, Do: fmt.Sprintf("tilt %s %d over %v", axis, to, h.milliseconds(500, 900))},
		{Wait: 2 * time.Second},
	}
}

// keepStill switches the receiver off and on, the transmitter stays on.
func (h *Operator) keepStill(step string) []Step {
	return []Step{{Wait: h.milliseconds(300, 1200), Do: "power " + h.Bus + " " + step}, {Wait: 1500 * time.Millisecond}}
}
