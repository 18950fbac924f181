package operator

import (
	"slices"
	"time"

	"benchproof.example/monitor/sheet"
)

// otherMemory is the drill in which another model memory is selected.
const otherMemory = "other-memory"

// Memories is how the transmitter's memories meet this model's receiver, and what hands do with them. To a receiver that tells
// memories apart, another one is no transmitter at all; one that hears any misses a transmitter for a moment as they change.
type Memories string

// What becomes of memories.
const (
	Refused       Memories = ""              // the receiver hears this model's alone
	AnyHeard      Memories = "any"           // it hears any
	NeverSelected Memories = "never"         // hands type a name, and select none
	BackTooSoon   Memories = "back too soon" // they select this model's again before its sticks are tried
	NobodyMoves   Memories = "nobody moves"  // it hears any, and no stick is moved
	InTheMiddle   Memories = "in the middle" // they select this model's again while its sticks are tried, and once more when they are asked to
)

// memory does what the drill of another model memory asks for.
func (h *Operator) memory(step string) (list []Step) {
	switch step {
	case "home":
		return h.home()
	case "select":
		return append(h.selects(), Step{Wait: h.milliseconds(1500, 4000), Enter: true, Words: "the glider"})
	case "settle":
		if h.Memories == BackTooSoon {
			return []Step{{Wait: h.milliseconds(1500, 7500), Do: "signal on"}}
		}
	case "try":
		switch h.Memories {
		case NobodyMoves:
			return nil
		case InTheMiddle:
			list = h.everyStick()
			return slices.Insert(list, len(list)/3+h.Rand.IntN(len(list)/3), Step{Wait: h.milliseconds(200, 900), Do: "signal on"})
		}
		return h.everyStick()
	case "own":
		return append(h.home(), h.reselects()...)
	case "answers":
		c, _ := h.Sheet.ByName(h.sticks()[0])
		return append(h.move(c.Name, c.Places[0].Width, 400, 900), Step{Wait: 1500 * time.Millisecond}, h.letGo())
	}
	return list
}

// selects selects another memory.
func (h *Operator) selects() []Step {
	switch h.Memories {
	case NeverSelected:
		return nil
	case AnyHeard, NobodyMoves:
		return h.changes()
	}
	return []Step{{Wait: h.milliseconds(500, 1500), Do: "signal off"}}
}

// reselects selects this model's again.
func (h *Operator) reselects() []Step {
	switch h.Memories {
	case Refused:
		return []Step{{Wait: h.milliseconds(300, 900), Do: "signal on"}}
	case BackTooSoon, NeverSelected:
		return nil
	}
	return h.changes()
}

// changes has a receiver that hears any memory miss a transmitter for a moment.
func (h *Operator) changes() []Step {
	return []Step{{Wait: h.milliseconds(500, 1500), Do: "signal off"}, {Wait: h.milliseconds(1300, 2200), Do: "signal on"}}
}

// everyStick moves each stick to both of its ends.
func (h *Operator) everyStick() (list []Step) {
	for i := range h.Sheet.Channels {
		if c := &h.Sheet.Channels[i]; c.Kind == sheet.Stick {
			for _, p := range c.Places {
				list = append(list, h.move(c.Name, p.Width, 300, 600)...)
			}
			list = append(list, Step{Wait: h.milliseconds(100, 300), Do: "release " + c.Name})
		}
	}
	return list
}
