package operator

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
)

// Slip is one that hands make at a prompt, before they do what it asks for.
type Slip string

// The mistakes of careless hands.
const (
	WrongStick  Slip = "wrong stick"  // another control is moved, and let go
	WrongKey    Slip = "wrong key"    // the same, and Enter is pressed
	EarlyEnter  Slip = "early Enter"  // Enter comes before anything was done
	HastyEnter  Slip = "hasty Enter"  // Enter within a second of the prompt
	TwoSwitches Slip = "two switches" // two switches in a row, and back
	TrimOff     Slip = "trim off"     // a trim is pushed, and put back
	Pause       Slip = "pause"        // the hand stops on its way
	Repeat      Slip = "repeat"       // the prompt is asked for again
	Back        Slip = "back"         // the prompt before is asked for again
)

// Slips lists them.
func Slips() []Slip {
	return []Slip{WrongStick, WrongKey, EarlyEnter, HastyEnter, TwoSwitches, TrimOff, Pause, Repeat, Back}
}

// FollowWithSlip is what hands do at a prompt with a mistake in it. Where the mistake can't be
// made, it is just what is right, and made is false.
func (h *Operator) FollowWithSlip(prompt string, m Slip) (steps []Step, made bool) {
	before := h.mistake(m, prompt)
	if m == Back && before != nil { // the prompt before is what is followed next
		return before, true
	}
	right := h.Follow(prompt)
	if m == Pause {
		late := h.pausing(right)
		return late, len(late) > len(right)
	}
	return append(before, right...), len(before) > 0
}

// tilting says whether the model is in the hands, which move nothing else then.
func tilting(prompt string) bool {
	return slices.Contains([]string{"count", event.PromptTilted, "level", "count-2", event.PromptOpposite, "level-2", "rest"}, event.PromptPart(prompt))
}

// irrevocable are the drills in which a receiver does something: nothing is said again.
func irrevocable(prompt string) bool {
	name, _, _ := strings.Cut(prompt, "/")
	return name == failsafe || name == powerUp || name == "keep-still" || name == "learned" || name == otherMemory
}

func (h *Operator) mistake(m Slip, prompt string) []Step {
	switch m {
	case EarlyEnter:
		return []Step{{Wait: h.milliseconds(1050, 1900), Enter: true}, {Wait: h.milliseconds(300, 900)}}
	case HastyEnter:
		return []Step{{Wait: h.milliseconds(60, 900), Enter: true}, {Wait: h.milliseconds(300, 900)}}
	}
	if tilting(prompt) || irrevocable(prompt) || h.teaches(prompt) && (m == Repeat || m == Back) {
		return nil
	}
	return h.another(m, prompt)
}

// teaches reports that the receiver learns by the sheet's procedure: what it did is not taken back.
func (h *Operator) teaches(prompt string) bool {
	name, _, _ := strings.Cut(prompt, "/")
	return name == limitLearning && h.Sheet.Learning != nil
}

// another is a mistake other than an Enter.
func (h *Operator) another(m Slip, prompt string) []Step {
	switch m {
	case WrongStick:
		return h.wrongStick(prompt, Step{})
	case WrongKey:
		return h.wrongStick(prompt, Step{Wait: h.milliseconds(200, 900), Enter: true})
	case TwoSwitches:
		return h.twoSwitches()
	case TrimOff:
		name := h.sticks()[h.Rand.IntN(len(h.sticks()))]
		off := 12 + h.Rand.IntN(40)
		return []Step{
			{Wait: h.milliseconds(200, 600), Do: fmt.Sprintf("trim %s %d", name, off)},
			{Wait: h.milliseconds(600, 1600), Do: fmt.Sprintf("trim %s 0", name)}, {Wait: h.milliseconds(300, 900)},
		}
	case Repeat, Back:
		key := event.StepRepeat
		if m == Back {
			key = event.StepBack
		}
		return []Step{{Wait: h.milliseconds(200, 900), Key: key}}
	}
	return nil
}

// wrongStick moves a stick that the prompt does not name, and lets it go.
func (h *Operator) wrongStick(prompt string, enter Step) []Step {
	var others []string
	for _, name := range h.sticks() {
		if !strings.Contains(prompt, "/"+name+"/") && name != h.held {
			others = append(others, name)
		}
	}
	if strings.Contains(prompt, "/roll/") || strings.Contains(prompt, "/yaw/") {
		others = []string{"elevator"}
	}
	if len(others) == 0 {
		return nil
	}
	name := others[h.Rand.IntN(len(others))]
	c, _ := h.Sheet.ByName(name)
	list := h.move(name, c.Places[h.Rand.IntN(2)].Width, 400, 900)
	return append(list, enter, Step{Wait: h.milliseconds(100, 900), Do: "release " + name}, Step{Wait: h.milliseconds(600, 1200)})
}

// twoSwitches flips two switches one right after the other, or one twice, and puts
// them back to where they rest.
func (h *Operator) twoSwitches() (list []Step) {
	var levers []*sheet.Channel
	for i := range h.Sheet.Channels {
		if c := &h.Sheet.Channels[i]; c.Kind == sheet.Switch {
			levers = append(levers, c)
		}
	}
	for _, c := range levers {
		list = append(list, Step{Wait: h.milliseconds(60, 400), Do: c.Name + " " + c.Places[h.Rand.IntN(len(c.Places))].Name})
	}
	for _, do := range h.Home {
		for _, c := range levers {
			if strings.HasPrefix(do, c.Name+" ") {
				list = append(list, Step{Wait: h.milliseconds(200, 1200), Do: do})
			}
		}
	}
	return append(list, Step{Wait: h.milliseconds(300, 900)})
}

// pausing has the hand stop half way: what it does takes longer than it need.
func (h *Operator) pausing(right []Step) []Step {
	var list []Step
	for _, s := range right {
		if name, width, ok := moves(s.Do); ok && name != "throttle" {
			half := (width + 1500) / 2
			list = append(list, Step{Wait: s.Wait, Do: fmt.Sprintf("stick %s %d over %v", name, half, h.milliseconds(300, 700))},
				Step{Wait: h.milliseconds(800, 2500)})
			s.Wait = 700 * time.Millisecond
		}
		list = append(list, s)
		if what, ok := strings.CutPrefix(s.Do, "stir "); ok {
			sticks, _, _ := strings.Cut(what, " for ")
			list = append(list, h.hesitating(sticks)...)
		}
	}
	return list
}

// hesitating has hands that stir stop now and then.
func (h *Operator) hesitating(sticks string) (list []Step) {
	for range 1 + h.Rand.IntN(8) {
		lasts := h.milliseconds(300, 4000)
		list = append(list, Step{Wait: h.milliseconds(1000, 5000), Do: fmt.Sprintf("pause %s for %v", sticks, lasts)}, Step{Wait: lasts})
	}
	return list
}

// moves reads a step that moves a stick: its name, and to which width.
func moves(do string) (name string, width int, ok bool) {
	n, _ := fmt.Sscanf(do, "stick %s %d", &name, &width)
	return name, width, n == 2
}
