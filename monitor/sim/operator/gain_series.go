package operator

import (
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// gainSeries follows a prompt of the drill of the gain series: "set", "N/turn", "N/level", "N/there/M", "N/other/M", "end".
func (h *Operator) gainSeries(prompt string) []Step {
	parts := strings.Split(prompt, "/")[1:]
	switch {
	case parts[0] == "set":
		mode := h.Sheet.Answering()
		return h.switches(func(m *sheet.Mode) bool { return m.Name == mode.Name })
	case parts[0] == "end" || parts[1] == "level":
		return h.layDown()
	case parts[1] == "turn":
		return h.dials(int(parts[0][0] - '1'))
	}
	way := 1
	if parts[1] == "other" {
		way = -1
	}
	return h.propUp(h.enteredAxis(), way, propAt[parts[2]])
}

// dials turns the knob to the place of a number, of five from the end with less gain on; between the ends a hand is as near as it gets.
func (h *Operator) dials(number int) []Step {
	knob := h.Sheet.GainKnob()
	from, to := knob.Places[0].Width, knob.Places[1].Width
	if less, more := h.Sheet.Gain.Share(from), h.Sheet.Gain.Share(to); less > more || less == more && from > to {
		from, to = to, from
	}
	width := from + (to-from)*unit.Width(number)/4
	if number > 0 && number < 4 {
		width += unit.Width(h.Rand.IntN(41)-20) * 1000
	}
	return h.move(knob.Name, width, 500, 1400)
}
