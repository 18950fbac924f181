package operator

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// mode puts the switches to a wanted combination.
func (h *Operator) mode(name, positions string) []Step {
	var list []Step
	for _, set := range h.combination(name, positions) {
		if c, _ := h.Sheet.Channel(set.Channel); c.Kind != sheet.Fixed {
			list = append(list, h.flip(c.Name, set.Position))
		}
	}
	return list
}

// combination finds a mode's wanted positions by their names, joined by "/".
func (h *Operator) combination(mode, positions string) sheet.Combination {
	for _, m := range h.Sheet.Stabiliser.Modes {
		for _, at := range m.WantedAt {
			names := make([]string, 0, len(at))
			for _, set := range at {
				names = append(names, set.Position)
			}
			if m.Name == mode && strings.Join(names, "/") == positions {
				return at
			}
		}
	}
	return nil
}

func (h *Operator) flip(name, place string) Step {
	return Step{Wait: h.milliseconds(300, 900), Do: name + " " + place}
}

// gain turns the knob to an end, or to the centre of its turn.
func (h *Operator) gain(to string) []Step {
	c, _ := h.Sheet.Channel(h.Sheet.Gain.Channel)
	width := (c.Places[0].Width + c.Places[1].Width) / 2
	if place, ok := c.Place(to); ok {
		width = place.Width
	}
	return h.move(c.Name, width, 500, 1400)
}

// move takes a hand from one place of a control to another, ms.
func (h *Operator) move(name string, width unit.Width, least, most int) []Step {
	takes := h.milliseconds(least, most)
	return []Step{
		{Wait: h.milliseconds(200, 600), Do: fmt.Sprintf("stick %s %d over %v", name, width/1000, takes)},
		{Wait: takes + h.milliseconds(50, 300)},
	}
}

// axis moves a stick, a throttle or a knob to an end, or lets a stick go. The hand
// lets go of the stick that it held before.
func (h *Operator) axis(name, end string, slow bool) []Step {
	list := h.free(name)
	if end == "neutral" {
		h.held = ""
		return append(list, Step{Wait: h.milliseconds(200, 600), Do: "release " + name})
	}
	c, _ := h.Sheet.ByName(name)
	if c.Kind == sheet.Stick {
		h.held = name
	}
	place, _ := c.Place(end)
	if slow {
		return append(append(list, h.away(c, place.Width)...), h.move(name, place.Width, 1300, 2600)...)
	}
	return append(list, h.move(name, place.Width, 400, 900)...)
}

// away turns a knob out of an end at which it may stand already.
func (h *Operator) away(c *sheet.Channel, end unit.Width) []Step {
	if c.Kind != sheet.Knob {
		return nil
	}
	return h.move(c.Name, (end+(c.Places[0].Width+c.Places[1].Width)/2)/2, 500, 900)
}

// free lets go of what the hand holds, if it is needed elsewhere.
func (h *Operator) free(name string) []Step {
	if h.held == "" || h.held == name {
		return nil
	}
	step := Step{Wait: h.milliseconds(100, 300), Do: "release " + h.held}
	h.held = ""
	return []Step{step}
}

// sticks are the channels that spring back.
func (h *Operator) sticks() (names []string) {
	for _, c := range h.Sheet.Channels {
		if c.Kind == sheet.Stick {
			names = append(names, c.Name)
		}
	}
	return names
}

// letGo lets go of all sticks.
func (h *Operator) letGo() Step {
	h.held = ""
	return Step{Wait: h.milliseconds(200, 600), Do: "release " + strings.Join(h.sticks(), " ")}
}

// throttle is the model's, nil for none.
func (h *Operator) throttle() *sheet.Channel {
	i := slices.IndexFunc(h.Sheet.Channels, func(c sheet.Channel) bool { return c.Kind == sheet.Throttle })
	if i < 0 {
		return nil
	}
	return &h.Sheet.Channels[i]
}

// lever moves the throttle to one of its places, where there is a throttle.
func (h *Operator) lever(place string) []Step {
	c := h.throttle()
	if c == nil {
		return nil
	}
	at, _ := c.Place(place)
	return h.move(c.Name, at.Width, 400, 900)
}

// neutral puts controls to rest, or throttle cut on.
func (h *Operator) neutral(step string) []Step {
	cut := func(to string) Step { return Step{Wait: h.milliseconds(200, 500), Do: "cut " + to} }
	switch step {
	case "sticks":
		return []Step{h.letGo(), {Wait: h.milliseconds(500, 900)}}
	case "idle":
		return append([]Step{cut("off")}, h.lever("idle")...)
	case "cut":
		return append(h.lever("idle"), cut("on"))
	}
	return h.lever("full")
}

// limits follows the learning of limits.
func (h *Operator) limits(step string) (list []Step) {
	switch step {
	case "ready":
		return append(h.lever("idle"), h.letGo())
	case "gesture":
		for _, g := range h.Sheet.Gestures {
			if c, _ := h.Sheet.Channel(g.Channel); g.Name == "limit-learning" {
				for range g.Times {
					list = append(list, Step{Wait: h.milliseconds(400, 700), Do: fmt.Sprintf("press %s for %v", c.Name, h.milliseconds(100, 250))})
				}
			}
		}
		return append(list, Step{Wait: 2 * time.Second})
	case "limits", "then":
		for _, name := range h.sticks() {
			c, _ := h.Sheet.ByName(name)
			for _, p := range c.Places {
				list = append(list, h.move(name, p.Width, 400, 900)...)
			}
			list = append(list, Step{Do: "release " + name})
		}
		return list
	}
	return []Step{{Wait: h.milliseconds(800, 1500)}}
}
