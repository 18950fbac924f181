// Package hands follows the prompts of the drills that tilt the model, as builders do,
// on a simulated bench. It knows prompts, the sheet, and the steps of a script of
// package standin; what listens to the bench it does not know.
package hands

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"time"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

// Hands are one builder's, and those of whoever helps.
type Hands struct {
	Sheet *sheet.Sheet
	Rand  *rand.Rand // how fast and how far they move
	Taps  bool       // the helper confirms each tilt with Enter
}

// Step is one thing that hands do.
type Step struct {
	Wait  time.Duration // after the step before
	Do    string        // a step of a script, without its time; "" for none
	Enter bool          // the prompt is answered
}

// Follow is what hands do at a prompt of the response or the correction drill; nothing
// where it asks to wait, or is none of those.
func (h *Hands) Follow(prompt string) []Step {
	name, rest, _ := strings.Cut(prompt, "/")
	about, _, _ := strings.Cut(rest, "/") // an axis, or a mode
	switch name {
	case fact.CorrectionDrill:
		return h.step(prompt, about, "")
	case fact.ResponseDrill:
		return h.step(prompt, h.Sheet.Tilted(), about)
	}
	return nil
}

// step is what hands do at a step of a drill, for an axis and in a mode.
func (h *Hands) step(prompt, axis, mode string) []Step {
	if c, place, ok := switchOnTheWay(prompt); ok {
		return []Step{{Wait: h.between(400, 900), Do: c + " " + place}}
	}
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

// switchOnTheWay is what a prompt ".../way/N/CHANNEL/POSITION" asks for.
func switchOnTheWay(prompt string) (channel, place string, ok bool) {
	_, way, ok := strings.Cut(prompt, "/way/")
	if part := strings.Split(way, "/"); ok && len(part) == 3 {
		return part[1], part[2], true
	}
	return "", "", false
}

// between draws a time, ms.
func (h *Hands) between(from, to int) time.Duration {
	return time.Duration(from+h.Rand.IntN(to-from+1)) * time.Millisecond
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
