package operator

import (
	"fmt"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// righting props the model up tilted and works the switch that overrides the mode.
func (h *Operator) righting(prompt, mode string) []Step {
	x := h.Sheet.Righting()
	c, _ := h.Sheet.Channel(x.Channel)
	axis := h.Sheet.Tilted()
	switch event.PromptPart(prompt) {
	case "set", "back":
		return h.switches(func(m *sheet.Mode) bool { return m.Name == mode })
	case "hold":
		return h.switches(func(m *sheet.Mode) bool { return m.Name == h.Sheet.HoldsAttitude().Name })
	case "prop":
		return []Step{{Wait: h.milliseconds(400, 900), Do: fmt.Sprintf("tilt %s %d over %v", axis, 22+h.Rand.IntN(12), h.milliseconds(600, 1400))},
			{Wait: 2 * time.Second}}
	case "on":
		return []Step{h.flip(c.Name, x.Position)}
	case "off":
		return []Step{h.flip(c.Name, h.Sheet.Rest(x.Setting).Position)}
	case "level":
		return []Step{{Wait: h.milliseconds(100, 400), Do: fmt.Sprintf("tilt %s 0 over 500ms", axis)}}
	}
	return nil
}
