package operator

import (
	"fmt"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// step is what hands do at a step of a drill, for an axis and in a mode.
func (h *Operator) step(prompt, axis, mode string) []Step {
	switch event.PromptPart(prompt) {
	case "set":
		return h.switches(func(m *sheet.Mode) bool { return m.Name == mode })
	case "mode":
		return h.corrects()
	case event.PromptStick:
		return h.over(axis)
	case "home":
		c, _, _ := h.Sheet.Reference(axis)
		return []Step{{Wait: h.milliseconds(300, 600), Do: "release " + c.Name}}
	case event.PromptTilted:
		return h.tilt(axis, 1)
	case event.PromptOpposite:
		return h.tilt(axis, -1)
	case "level", "level-2":
		return []Step{{Wait: h.milliseconds(100, 400), Do: fmt.Sprintf("tilt %s 0 over 500ms", axis)}}
	case event.PromptLook:
		return h.checkSurface(axis)
	}
	return nil
}

// switches puts the mode switches to where a mode is wanted first.
func (h *Operator) switches(is func(*sheet.Mode) bool) (list []Step) {
	wait := h.milliseconds(400, 900)
	for i := range h.Sheet.Stabiliser.Modes {
		m := &h.Sheet.Stabiliser.Modes[i]
		if !is(m) || len(m.WantedAt) == 0 {
			continue
		}
		for _, set := range m.WantedAt[0] {
			c, _ := h.Sheet.Channel(set.Channel)
			list = append(list, Step{Wait: wait, Do: c.Name + " " + set.Position})
			wait = h.milliseconds(300, 600)
		}
		return list
	}
	return nil
}

// corrects puts the switches to a mode that corrects: one whose answers stay, if there
// is one.
func (h *Operator) corrects() []Step {
	for _, does := range []string{sheet.DoesStay, sheet.DoesReturn} {
		if list := h.switches(func(m *sheet.Mode) bool { return m.Does == does }); list != nil {
			return list
		}
	}
	return nil
}

// over holds the reference stick of an axis over.
func (h *Operator) over(axis string) []Step {
	c, end, _ := h.Sheet.Reference(axis)
	return h.stick(h.milliseconds(300, 600), c.Name, end.Width)
}

func (h *Operator) stick(wait time.Duration, name string, width unit.Width) []Step {
	takes := time.Duration(400+h.Rand.IntN(400)) * time.Millisecond
	return []Step{
		{Wait: wait, Do: fmt.Sprintf("stick %s %d over %v", name, width/1000, takes)},
		{Wait: takes + h.milliseconds(200, 600)},
	}
}

func (h *Operator) tilt(axis string, way int) []Step {
	wait := h.milliseconds(100, 700)
	list := []Step{{Wait: wait, Do: fmt.Sprintf("tilt %s %d over %v", axis, way*(20+h.Rand.IntN(12)), h.milliseconds(300, 549))}}
	if h.ConfirmsTilts {
		list = append(list, Step{Wait: h.milliseconds(900, 1400), Enter: true})
	}
	return list
}

// checkSurface holds the reference stick of an axis over and says that the surface is right.
func (h *Operator) checkSurface(axis string) []Step {
	c, end, _ := h.Sheet.Reference(axis)
	return append(h.stick(0, c.Name, end.Width),
		Step{Wait: h.milliseconds(500, 900), Enter: true},
		Step{Do: "release " + c.Name})
}

// lays fastens a phone on the model, and tilts it for the phone to see.
func (h *Operator) lays(round, prompt string) []Step {
	switch round {
	case "put":
		return []Step{{Wait: h.milliseconds(800, 1500), Enter: true}}
	case "left":
		return h.step(prompt, sheet.Roll, "")
	}
	return h.step(prompt, sheet.Pitch, "")
}
