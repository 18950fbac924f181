package operator

import (
	"fmt"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// The drills in which the signal is lost, or the supply cut.
const (
	failsafe = "failsafe"
	powerUp  = "power-up"
)

// loss switches transmitter and receiver as the drills of failsafe and power-up ask.
func (h *Operator) loss(name, round, step string) []Step {
	switch {
	case name == powerUp && step == event.PromptOff:
		return append(h.home(), Step{Wait: h.milliseconds(300, 900), Do: "signal off"}, Step{Wait: h.milliseconds(300, 900), Do: "power " + h.Bus + " off"},
			Step{Wait: h.milliseconds(300, 900), Enter: true})
	case name == powerUp:
		return []Step{{Wait: h.milliseconds(300, 1500), Do: "power " + h.Bus + " on"}}
	case step == event.PromptAway:
		return h.elsewhere()
	case step == event.PromptOff:
		return h.off(round)
	case step == event.PromptOn:
		return append(h.home(), Step{Wait: h.milliseconds(300, 900), Do: "signal on"}, Step{Enter: true})
	}
	return nil
}

// home brings every control to where it rests.
func (h *Operator) home() []Step {
	list := append([]Step{h.letGo()}, h.lever("idle")...)
	for _, do := range h.Home {
		list = append(list, Step{Wait: h.milliseconds(200, 500), Do: do})
	}
	return append(list, Step{Wait: h.milliseconds(500, 900)})
}

// elsewhere puts what has a preset visibly away from it.
func (h *Operator) elsewhere() (list []Step) {
	for i := range h.Sheet.Channels {
		c := &h.Sheet.Channels[i]
		p, ok := h.Sheet.Preset(c.Number)
		switch {
		case !ok || p.Rule == sheet.Hold:
		case c.Kind == sheet.Switch:
			for _, place := range c.Places {
				if distance(place.Width, p.Width) > 200_000 {
					list = append(list, h.flip(c.Name, place.Name))
					break
				}
			}
		case c.Kind == sheet.Throttle:
			if cutsBelowIdle(c) {
				list = append(list, Step{Wait: h.milliseconds(200, 500), Do: "cut off"})
			}
			list = append(list, h.move(c.Name, unit.Width(1300+h.Rand.IntN(400))*1000, 400, 900)...)
		case c.Kind == sheet.Knob:
			end := c.Places[0].Width
			if distance(end, p.Width) < distance(c.Places[1].Width, p.Width) {
				end = c.Places[1].Width
			}
			list = append(list, h.move(c.Name, end, 400, 900)...)
		}
	}
	// Sticks, too: what holds shows only where it was not at rest.
	for _, name := range h.sticks() {
		list = append(list, h.move(name, unit.Width(1620+h.Rand.IntN(200))*1000, 300, 600)...)
	}
	return list
}

func distance(a, b unit.Width) unit.Width { return max(a-b, b-a) }

// cutsBelowIdle reports that a throttle cut of its own is there to be switched.
func cutsBelowIdle(c *sheet.Channel) bool {
	cut, hasCut := c.Place("cut")
	idle, hasIdle := c.Place("idle")
	return hasCut && hasIdle && cut.Width != idle.Width
}

// beside keeps buttons pressed in the second round, and has switches that are to hold at two places in the two.
func (h *Operator) beside(round string) (list []Step) {
	n := map[string]int{"later": 1}[round]
	for i := range h.Sheet.Channels {
		c := &h.Sheet.Channels[i]
		p, ok := h.Sheet.Preset(c.Number)
		switch {
		case !ok || h.Sheet.Digital(c.Number):
		case c.Kind == sheet.Switch && p.Rule == sheet.Hold:
			list = append(list, h.flip(c.Name, c.Places[n%len(c.Places)].Name))
		case c.Kind == sheet.Momentary && n == 1:
			list = append(list, Step{Wait: h.milliseconds(200, 500), Do: fmt.Sprintf("press %s for 4s", c.Name)}, Step{Wait: 400 * time.Millisecond})
		}
	}
	return list
}

// off switches the transmitter off, with a stick on the move where nothing else does. The sticks are held over.
func (h *Operator) off(round string) []Step {
	list := h.beside(round)
	if h.Sheet.Heartbeat != nil {
		return append(list, Step{Wait: h.milliseconds(400, 1500), Do: "signal off"})
	}
	name := h.sticks()[h.Rand.IntN(len(h.sticks()))]
	lasts := h.milliseconds(4000, 7000)
	return append(list,
		Step{Wait: h.milliseconds(300, 900), Do: fmt.Sprintf("stir %s for %v", name, lasts)},
		Step{Wait: h.milliseconds(1000, 2500), Do: "signal off"},
		Step{Wait: 200 * time.Millisecond})
}
