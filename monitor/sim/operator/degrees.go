package operator

import (
	"fmt"
	"strings"
	"time"

	"benchproof.example/monitor/sheet"
)

// propAt are the angles that hands prop the model up at, by the step of the prompt.
var propAt = map[string]int{"1": 6, "2": 16, "3": 26, "there": 16}

// degrees follows a prompt of the drill of degrees: "AXIS/STEP", "off", "off/set", "MODE/set",
// "MODE/AXIS/STEP", "MODE/enter/STEP".
func (h *Operator) degrees(prompt string) []Step {
	parts := strings.Split(prompt, "/")[1:]
	last := parts[len(parts)-1]
	switch {
	case last == "stick":
		return h.over(parts[0])
	case last == "home":
		return h.step(prompt, parts[0], "")
	case last == "set":
		return h.modeFor(parts[0])
	case len(parts) == 3 && last == "off":
		return h.modeFor("off")
	case parts[0] == "phone":
		return h.twists(last == "round")
	case len(parts) == 1 || strings.HasPrefix(last, "level"):
		return h.layDown()
	case last == "wait":
		return nil
	}
	return h.tilts(parts, last)
}

// tilts props the model up for a step about an axis.
func (h *Operator) tilts(parts []string, last string) []Step {
	axis := parts[1]
	if axis == "enter" {
		axis = h.enteredAxis()
	}
	way := 1
	if len(parts) > 2 && parts[2] == "other" {
		way = -1
	}
	return h.propUp(axis, way, propAt[last])
}

// twists turns the phone half round, or back; a hand misses that by some degrees, and takes longer for more than that.
func (h *Operator) twists(round bool) []Step {
	angle := 0
	if round {
		angle = 172 + h.Rand.IntN(17)
	}
	if h.Twist != nil {
		angle = h.Twist(angle)
	}
	by := max(angle-h.twisted, h.twisted-angle)
	h.twisted = angle
	takes := (900 + h.Rand.IntN(1200)) * max(by, 180) / 180
	return []Step{
		{Wait: h.milliseconds(500, 1500), Do: fmt.Sprintf("twist %d over %dms", angle, takes)},
		{Wait: time.Duration(takes)*time.Millisecond + h.milliseconds(2000, 4000), Enter: true},
	}
}

// modeFor puts the switches to a mode; "off" is the first that does nothing, if no mode is called so.
func (h *Operator) modeFor(name string) []Step {
	if name == "off" {
		off := h.Sheet.Off()
		return h.switches(func(m *sheet.Mode) bool { return m.Name == off.Name })
	}
	return h.switches(func(m *sheet.Mode) bool { return m.Name == name })
}

// enteredAxis is the first that the drill tilts about.
func (h *Operator) enteredAxis() string {
	for _, axis := range []string{sheet.Pitch, sheet.Roll} {
		if _, _, ok := h.Sheet.Reference(axis); ok && len(h.Sheet.Corrected(axis)) > 0 {
			return axis
		}
	}
	return sheet.Yaw
}

// layDown has the model rest as it is to fly.
func (h *Operator) layDown() (list []Step) {
	for _, axis := range sheet.Axes {
		list = append(list, Step{Wait: h.milliseconds(60, 200), Do: h.tilting(axis, 0, 500)})
	}
	return list
}

func (h *Operator) tilting(axis string, angle, over int) string {
	if h.Idle {
		return ""
	}
	return fmt.Sprintf("tilt %s %d over %dms", axis, angle, over)
}

// propUp props the model up and types the angle, where nothing else feels it. It stands a little askew, as wedges are.
func (h *Operator) propUp(axis string, way, about int) []Step {
	angle := about - 1 + h.Rand.IntN(4)
	takes := 350 + h.Rand.IntN(350)
	words := h.read(angle)
	if h.Felt && axis != sheet.Yaw {
		words = ""
	}
	return []Step{
		{Wait: h.milliseconds(300, 900), Do: h.tilting(axis, way*angle, takes)},
		{Wait: time.Duration(takes)*time.Millisecond + h.milliseconds(1600, 4000), Enter: true, Words: words},
	}
}

// read is an angle as an inclinometer shows it: to a tenth, and off by 0.2 degrees at most.
func (h *Operator) read(angle int) string {
	tenths := 10*angle - 2 + h.Rand.IntN(5)
	return fmt.Sprintf("%d.%d", tenths/10, tenths%10)
}
