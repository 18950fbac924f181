package drill

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/sheet"
)

// leftGimbal lists what the left stick of a transmitter commands in the stick
// modes 1 to 4; the right one commands the other two (common practice).
var leftGimbal = map[int][2]string{
	1: {"elevator", "rudder"},
	2: {sheet.Throttle, "rudder"},
	3: {"elevator", "aileron"},
	4: {sheet.Throttle, "aileron"},
}

// function is what a channel commands: a throttle by its kind, the other three by
// their names; "" for any other.
func function(c *sheet.Channel) string {
	if c.Kind == sheet.Throttle {
		return sheet.Throttle
	}
	for _, f := range []string{"aileron", "elevator", "rudder"} {
		if strings.EqualFold(c.Name, f) {
			return f
		}
	}
	return ""
}

// The sticks of a transmitter.
const (
	leftStick  = "the left stick"
	rightStick = "the right stick"
)

// stick says which stick moves a channel: "the right stick", or its name where the
// stick mode or the function is unknown. known reports which.
func stick(s *sheet.Sheet, c *sheet.Channel) (name string, known bool) {
	left, ok := leftGimbal[s.Sticks]
	f := function(c)
	switch {
	case !ok || f == "":
		return c.Name, false
	case f == left[0] || f == left[1]:
		return leftStick, true
	}
	return rightStick, true
}

// ways are the directions that ends are named after.
var ways = map[string]string{
	"left":    "to the left",
	"right":   "to the right",
	"back":    "back, towards you",
	"forward": "forward, away from you",
}

// way says in which direction the end of a channel lies.
func way(c *sheet.Channel, end string) string {
	if c.Kind == sheet.Throttle {
		if end == "full" {
			return "up"
		}
		return "down"
	}
	if w, ok := ways[end]; ok {
		return w
	}
	return fmt.Sprintf("to the end that the sheet calls %s", end)
}

// stickPrompt puts together a prompt about a stick: what to do with it, how, and at the
// end which function that is.
func stickPrompt(s *sheet.Sheet, c *sheet.Channel, verb, how string) string {
	name, known := stick(s, c)
	text := verb + " " + name + " " + how
	if known {
		text += " (" + c.Name + ")"
	}
	return text
}
