package drill

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What springs back, or is to hold its last value, shows what the receiver does with it only
// where it does not rest as the signal goes. Hands hold it there, and one of them switches the
// transmitter off: so the first round has one stick, the second one the other, and buttons.

// heldBeside is where controls are to be in a round, from 0, as the signal goes.
func heldBeside(s *sheet.Sheet, round int) (list []Beside) {
	if s.Heartbeat != nil { // else a stick is moved, and is nowhere near its neutral
		for _, c := range sprung(s, round) {
			list = append(list, Beside{Channel: c.Number, ClearOf: []unit.Width{c.Neutral}})
		}
	}
	for _, c := range ofKind(s, sheet.Throttle, sheet.Knob, sheet.Switch, sheet.Momentary) {
		p, ok := s.Preset(c.Number)
		switch {
		case !ok || s.Digital(c.Number):
		case c.Kind == sheet.Momentary:
			if round == len(rounds)-1 && pressable(s, c, p) {
				list = append(list, Beside{Channel: c.Number, Place: "pressed"})
			}
		case p.Rule != sheet.Hold:
		case c.Kind == sheet.Switch: // in two rounds at two places: a hold, and no preset
			list = append(list, Beside{Channel: c.Number, Place: c.Places[round%len(c.Places)].Name})
		default:
			list = append(list, Beside{Channel: c.Number, ClearOf: widthsOf(c.Places)})
		}
	}
	return list
}

// sprung are the sticks of a round whose neutral is known and that have something to show: those of
// the right gimbal, then those of the left one. Where the sheet does not say which those are, the first two, then the rest.
func sprung(s *sheet.Sheet, round int) (list []*sheet.Channel) {
	all := ofKind(s, sheet.Stick)
	for i, c := range all {
		mine := min(i/2, len(rounds)-1)
		if name, known := stick(s, c); known {
			mine = map[string]int{rightStick: 0, leftStick: 1}[name]
		}
		p, ok := s.Preset(c.Number)
		if springs := p.Rule == sheet.Hold || p.Met(c.Neutral, c.Neutral, sheet.VisibleChange); ok && springs && mine == round && c.Neutral != 0 {
			list = append(list, c)
		}
	}
	return list
}

// pressable reports that a button can be held pressed: it is not where it goes without a signal,
// and one press makes no gesture.
func pressable(s *sheet.Sheet, c *sheet.Channel, p sheet.Preset) bool {
	pressed, ok := c.Place("pressed")
	atOnce := slices.ContainsFunc(s.Gestures, func(g sheet.Gesture) bool { return g.Channel == c.Number && g.Times == 1 })
	return ok && !atOnce && (p.Rule == sheet.Hold || !p.Met(pressed.Width, pressed.Width, sheet.VisibleChange))
}

func widthsOf(places []sheet.Place) (widths []unit.Width) {
	for _, p := range places {
		widths = append(widths, p.Width)
	}
	return widths
}

// offText is how the transmitter is switched off in a round.
func offText(s *sheet.Sheet, round int, beside []Beside) string {
	first := besideWords(s, beside)
	switch {
	case s.Heartbeat == nil:
		return strings.Join(append(first, fmt.Sprintf(switchOffMoving, movedStick(s, round))), "; ")
	case len(first) == 0:
		return switchOffNow
	}
	return strings.Join(append(first, switchOff), "; ")
}

// movedStick is the one that is moved in a round.
func movedStick(s *sheet.Sheet, round int) string {
	all := ofKind(s, sheet.Stick)
	for _, c := range all {
		if name, known := stick(s, c); known && name == []string{rightStick, leftStick}[round%len(rounds)] {
			return name
		}
	}
	if len(all) > 1 {
		return []string{"one stick", "another stick"}[round%len(rounds)]
	}
	return "one stick"
}

// besideWords says where controls are held, switches and levers first: they stay there by themselves.
func besideWords(s *sheet.Sheet, beside []Beside) (parts []string) {
	var sticks, buttons, names []string
	for _, b := range beside {
		c, _ := s.Channel(b.Channel)
		switch {
		case c.Kind == sheet.Stick:
			names = append(names, c.Name)
			if name, known := stick(s, c); known && !slices.Contains(sticks, name) {
				sticks = append(sticks, name)
			}
		case c.Kind == sheet.Momentary:
			buttons = append(buttons, "keep "+c.Name+" pressed")
		case b.Place != "":
			parts = append(parts, putText(c, b.Place))
		default:
			parts = append(parts, "leave "+c.Name+" between its ends")
		}
	}
	switch {
	case len(names) == 0:
	case len(sticks) == 0:
		parts = append(parts, "hold "+text.And(names)+" visibly away from the centre")
	default:
		parts = append(parts, fmt.Sprintf("hold %s visibly away from its centre (%s)", text.And(sticks), text.And(names)))
	}
	return append(parts, buttons...)
}
