package draft

import (
	"strings"

	"benchproof.example/monitor/sheet"
)

// What a session can't tell, and how a sheet says it. What stands in it is ready to be put in.
const (
	openKnob = `open: is it the throttle? Then these lines take the place of the three above:
  name: throttle
  kind: throttle
  drives: motor
  cut: LOW
  full: HIGH
open: or the stabiliser's gain? Then name it gain, and put in: gain: {channel: gain, law: one-sided, zero: LOW, full: HIGH}`
	openSwitch = `open: does it choose the stabiliser's mode? Then put in, with a line a mode, and the windows that the receiver's manual has:
stabiliser:
  windows: {from: guess}
  modes:
    MODE: {when: [{NAME: [EDGES]}], wanted_at: [{NAME: PLACE}]}`
	openStick = "open: elevator, aileron or rudder? That is its name, here and below; its ends are {back: W, forward: W} or {left: W, right: W}"
	openSheet = `Open, since no session can tell it; benchproof sheet explain says how each is written:
- what the receiver must do without a signal, channel by channel: failsafe
- which channel starts limit learning in the receiver, and how: kind momentary, and gestures
- what the bus carries, the sticks or what a stabiliser makes of them: taps.*.carries
- which axis each output corrects when the model is tilted: outputs.*.corrects
benchproof draft --bus PORT -o FILE asks for all of this, and for what each channel is.`
)

// open says what is not known of a channel that moved while nobody asked, with the words that say it.
func (w *writer) open(c *Control) {
	if !w.model.Free {
		return
	}
	first, last := &c.Places[0], &c.Places[len(c.Places)-1]
	low, high := micros(first.Width), micros(last.Width)
	text := ""
	switch c.Kind {
	case sheet.Knob:
		text = strings.NewReplacer("LOW", low, "HIGH", high).Replace(openKnob)
	case sheet.Switch:
		edge := micros((first.Width + c.Places[1].Width) / 2)
		text = strings.NewReplacer("NAME", c.Name, "PLACE", first.Name, "EDGES", "0, "+edge).Replace(openSwitch)
	case sheet.Stick:
		text = openStick
	}
	for line := range strings.Lines(text) {
		w.text.WriteString("    # " + strings.TrimSuffix(line, "\n") + "\n")
	}
}

// openAtAll says what is not known of the model.
func (w *writer) openAtAll() {
	if w.model.Free {
		w.gap()
		w.remark(openSheet)
	}
}
