// Package operator follows the prompts of drills, as builders do, on a simulated bench:
// rightly, or with the mistakes that hands make. It knows prompts, the sheet, and the
// steps of package script, as text; what listens to the bench it does not know.
package operator

import (
	"math/rand/v2"
	"strings"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// Operator is the hands of one builder, and of whoever helps.
type Operator struct {
	Sheet         *sheet.Sheet
	Rand          *rand.Rand          // how fast and how far they move
	ConfirmsTilts bool                // the helper confirms each tilt with Enter
	Bus           string              // the receiver's name in the script, for the drills that switch it
	Idle          bool                // angles are typed, and nobody tilts the model
	Twist         func(angle int) int // by how much a phone is turned where so much is asked for, nil: by that
	Felt          bool                // a phone on the model feels the angles: those that it can feel are not typed
	Memories      Memories            // what becomes of model memories
	Home          []string            // steps that bring knob and switches to where they rest
	Text          string              // of the prompt that stands, for the drill in which it has where a knob is to be

	held    string // the stick that is held over, "" for none
	twisted int    // by how much the phone is turned, degrees
}

// limitLearning is the drill of that name, and the gesture of sheets without a procedure.
const limitLearning = "limit-learning"

// Step is one thing that hands do.
type Step struct {
	Wait  time.Duration // after the step before
	Do    string        // a step of a script, without its time; "" for none
	Enter bool          // the prompt is answered
	Words string        // typed before that Enter
	Looks bool          // what is typed is what the surfaces show then, see SaysOf
	Key   string        // another key: event.StepRepeat or event.StepBack, "" for none
}

// Follow is what hands do at the prompt of a drill; nothing where it asks to wait.
// An Enter is there where it belongs to what is done; a prompt that stands after all
// steps wants one when the hands are done.
func (h *Operator) Follow(prompt string) []Step {
	if c, place, ok := switchOnTheWay(prompt); ok {
		return []Step{h.flip(c, place)}
	}
	name, rest, _ := strings.Cut(prompt, "/")
	about, step, _ := strings.Cut(rest, "/") // an axis, a mode, or a channel
	if steps, ok := h.withTheModel(name, about, prompt); ok {
		return steps
	}
	switch name {
	case "mode":
		return h.mode(about, step)
	case "gain":
		return h.gain(about)
	case "order", "ends":
		return h.axis(about, step, name == "ends")
	case "neutral":
		return h.neutral(about)
	case limitLearning:
		return h.limitLearning(about, step)
	case otherMemory:
		return h.memory(event.PromptPart(prompt))
	case "stir":
		return h.stir(about)
	case rangeDrill:
		return h.walk(event.PromptPart(prompt))
	case failsafe, powerUp:
		return h.loss(name, about, event.PromptPart(prompt))
	}
	return nil
}

// limitLearning is what hands do where the sheet says how limits are learned, and where it does not.
func (h *Operator) limitLearning(about, step string) []Step {
	if h.Sheet.Learning != nil {
		return h.learns(about, step)
	}
	return h.limits(about)
}

// withTheModel is what hands do in drills for which the model is tilted, laid or left alone.
func (h *Operator) withTheModel(name, about, prompt string) (steps []Step, ok bool) {
	switch name {
	case "correction":
		return h.step(prompt, about, ""), true
	case "response":
		return h.step(prompt, h.Sheet.Tilted(), about), true
	case "laying":
		return h.lays(about, prompt), true
	case "learned":
		about, place, _ := strings.Cut(strings.TrimPrefix(prompt, "learned/"), "/")
		return h.learned(prompt, about, place), true
	case "levelling":
		return h.levelling(prompt), true
	case "keep-still":
		return h.keepStill(about), true
	case "righting":
		return h.righting(prompt, about), true
	case "degrees":
		return h.degrees(prompt), true
	case "gain-series":
		return h.gainSeries(prompt), true
	case "edges":
		return h.edges(prompt), true
	}
	return nil, false
}

// switchOnTheWay is what a prompt ".../way/N/CHANNEL/POSITION" asks for.
func switchOnTheWay(prompt string) (channel, place string, ok bool) {
	_, way, ok := strings.Cut(prompt, "/way/")
	if part := strings.Split(way, "/"); ok && len(part) == 3 {
		return part[1], part[2], true
	}
	return "", "", false
}

// milliseconds draws a time, ms.
func (h *Operator) milliseconds(from, to int) time.Duration {
	return time.Duration(from+h.Rand.IntN(to-from+1)) * time.Millisecond
}
