package hands

import (
	"fmt"
	"time"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

// step is what hands do at a step of a drill, for an axis and in a mode.
func (h *Hands) step(prompt, axis, mode string) []Step {
	switch fact.PromptStep(prompt) {
	case "set":
		return h.switches(func(m *sheet.Mode) bool { return m.Name == mode })
	case "mode":
		return h.corrects()
	case fact.PromptStick:
		return h.over(axis)
	case "home":
		c, _, _ := h.Sheet.Reference(axis)
		return []Step{{Wait: h.between(300, 600), Do: "release " + c.Name}}
	case fact.PromptThere:
		return h.tilt(axis, 1)
	case fact.PromptOther:
		return h.tilt(axis, -1)
	case "level", "level-2":
		return []Step{{Wait: h.between(100, 400), Do: fmt.Sprintf("tilt %s 0 over 500ms", axis)}}
	case fact.PromptEye:
		return h.look(axis)
	}
	return nil
}

// switches puts the mode switches to where a mode is wanted first.
func (h *Hands) switches(is func(*sheet.Mode) bool) (list []Step) {
	wait := h.between(400, 900)
	for i := range h.Sheet.Stabiliser.Modes {
		m := &h.Sheet.Stabiliser.Modes[i]
		if !is(m) || len(m.WantedAt) == 0 {
			continue
		}
		for _, set := range m.WantedAt[0] {
			c, _ := h.Sheet.Channel(set.Channel)
			list = append(list, Step{Wait: wait, Do: c.Name + " " + set.Position})
			wait = h.between(300, 600)
		}
		return list
	}
	return nil
}

// corrects puts the switches to a mode that corrects: one whose answers stay, if there
// is one.
func (h *Hands) corrects() []Step {
	for _, does := range []string{sheet.DoesStay, sheet.DoesReturn} {
		if list := h.switches(func(m *sheet.Mode) bool { return m.Does == does }); list != nil {
			return list
		}
	}
	return nil
}

// over holds the reference stick of an axis over.
func (h *Hands) over(axis string) []Step {
	c, end, _ := h.Sheet.Reference(axis)
	return h.stick(h.between(300, 600), c.Name, end.Width)
}

func (h *Hands) stick(wait time.Duration, name string, width int64) []Step {
	takes := time.Duration(400+h.Rand.IntN(400)) * time.Millisecond
	return []Step{
		{Wait: wait, Do: fmt.Sprintf("stick %s %d over %v", name, width/1000, takes)},
		{Wait: takes + h.between(200, 600)},
	}
}

func (h *Hands) tilt(axis string, way int) []Step {
	wait := h.between(100, 700)
	list := []Step{{Wait: wait, Do: fmt.Sprintf("tilt %s %d over %v", axis, way*(20+h.Rand.IntN(12)), h.between(300, 549))}}
	if h.Taps {
		list = append(list, Step{Wait: h.between(900, 1400), Enter: true})
	}
	return list
}

// look holds the reference stick of an axis over and says that the surface is right.
func (h *Hands) look(axis string) []Step {
	c, end, _ := h.Sheet.Reference(axis)
	return append(h.stick(0, c.Name, end.Width),
		Step{Wait: h.between(500, 900), Enter: true},
		Step{Do: "release " + c.Name})
}
