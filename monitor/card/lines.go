package card

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/text"
)

// lineWidth is how wide the card is on a terminal.
const lineWidth = 80

// Lines are the card for a terminal.
func (c *Card) Lines() []string {
	list := []string{c.Model + ": field card"}
	list = append(list, wrapped(c.MadeOf+" "+NotSafe, "")...)
	if len(c.Modes) > 0 {
		list = append(list, "", "Switch and mode; what surfaces give when the model is tilted by hand and held")
		for _, m := range c.Modes {
			asks := m.Asks
			if !m.Wanted {
				asks += " (not wanted)"
			}
			list = append(list, item(m.Seen, fmt.Sprintf("%s: %s, %s", m.Positions, asks, m.Does))...)
		}
		list = append(list, cut(c.ModesCut, "more combinations of positions are in the report")...)
		list = append(list, wrapped(c.Windows, "  ")...)
	}
	list = append(list, "")
	for _, line := range append(append([]string{}, c.Controls...), c.Papers...) {
		list = append(list, wrapped(line, "  ")...)
	}
	if len(c.Tilts) > 0 {
		list = append(list, "", "What each surface must do when the model is tilted by hand")
		for _, t := range c.Tilts {
			list = append(list, item(t.Seen, t.says())...)
		}
		list = append(list, cut(c.TiltsCut, "more outputs are in the sheet")...)
		list = append(list, wrapped(c.Answers+tiltNotes, "  ")...)
	}
	list = append(list, "", "It did this in the air: what is likely, and what shows it on the bench")
	for _, s := range c.Symptoms {
		list = append(list, item(s.Seen, fmt.Sprintf("%s. Likely: %s. Bench: %s.", s.Air, s.Cause, s.Show))...)
	}
	list = append(list, wrapped(howDrill, "  ")...)
	list = append(list, "", "Without a signal")
	for _, line := range c.Lost {
		list = append(list, wrapped(line, "  ")...)
	}
	list = append(append(list, cut(c.LostCut, "more in the sheet")...), "")
	for _, line := range c.Cautions {
		list = append(list, wrapped(line, "")...)
	}
	return list
}

func (t *Tilt) says() string {
	s := fmt.Sprintf("%s: %s %s", t.Tilt, t.Surface, t.Must)
	if t.Stick != "" {
		s += ", " + t.Stick
	}
	return s + " (" + t.Output + ")"
}

func cut(n int, what string) []string {
	if n == 0 {
		return nil
	}
	return []string{fmt.Sprintf("  %d %s", n, what)}
}

// item is a line behind what was seen of it.
func item(seen, says string) []string {
	if seen != "" && seen != Box {
		says += " - " + seen
	}
	list := wrapped(says, "      ")
	if seen == Box {
		list[0] = "  " + Box + list[0][len("     "):]
	}
	return list
}

func wrapped(line, indent string) []string {
	return strings.Split(text.Wrap(line, lineWidth, indent), "\n")
}
