package operator

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// learns follows the procedure of a sheet by which the receiver learns limits: what stands behind the drill's name.
func (h *Operator) learns(about, place string) []Step {
	switch about {
	case "ready":
		return append(h.lever("idle"), Step{Wait: 300 * time.Millisecond, Do: "cut on"}, h.letGo())
	case "before":
		name, end, _ := strings.Cut(place, "/")
		return h.axis(name, end, true)
	case "rest":
		return append(h.lever("idle"), h.letGo())
	case "over":
		return []Step{h.letGo()}
	}
	n, err := strconv.Atoi(about)
	if err != nil || n < 1 || n > len(h.Sheet.Learning.Steps) {
		return nil
	}
	return h.learnStep(&h.Sheet.Learning.Steps[n-1], place)
}

func (h *Operator) learnStep(step *sheet.LearnStep, place string) []Step {
	switch step.Kind {
	case sheet.LearnGesture:
		return h.makes(step.Gesture)
	case sheet.LearnControl:
		c, _ := h.Sheet.Channel(step.Channel)
		if c.Kind == sheet.Switch {
			return []Step{h.flip(c.Name, place)}
		}
		return h.axis(c.Name, place, true)
	case sheet.LearnButton, sheet.LearnMenu:
		return append(h.presses("teach", 200*time.Millisecond), Step{Wait: h.milliseconds(300, 900), Enter: true})
	}
	return nil
}

// makes a gesture of the sheet by a button.
func (h *Operator) makes(name string) (list []Step) {
	for i := range h.Sheet.Gestures {
		g := &h.Sheet.Gestures[i]
		if g.Name != name {
			continue
		}
		c, _ := h.Sheet.Channel(g.Channel)
		for range g.Times {
			list = append(list, h.presses(c.Name, time.Duration(g.Holds)+h.milliseconds(150, 350))...)
		}
	}
	return list
}

// presses a button for so long.
func (h *Operator) presses(button string, held time.Duration) []Step {
	return []Step{{Wait: h.milliseconds(400, 700), Do: fmt.Sprintf("press %s for %v", button, held)}, {Wait: held}}
}

// learned switches the receiver off and on, and tilts the model.
func (h *Operator) learned(prompt, about, place string) []Step {
	switch about {
	case "off", "on":
		return h.keepStill(about)
	case "ends":
		name, end, _ := strings.Cut(place, "/")
		return h.axis(name, end, true)
	case "rest":
		return append(h.lever("idle"), h.letGo())
	case "set":
		return h.corrects()
	case "count", "level", event.PromptTilted:
		return h.step(prompt, h.Sheet.Tilted(), "")
	}
	return nil
}
