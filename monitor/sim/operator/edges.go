package operator

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// edges follows a prompt of the drill of edges: "learning", "CHANNEL/knob", "CHANNEL/EDGE/with", "CHANNEL/EDGE/up",
// "CHANNEL/EDGE/down", "CHANNEL/off". Where a knob is to stand is in the text of the prompt.
func (h *Operator) edges(prompt string) []Step {
	parts := strings.Split(prompt, "/")[1:]
	last := parts[len(parts)-1]
	if last == "learning" {
		return []Step{{Wait: h.milliseconds(1200, 3000), Enter: true}}
	}
	c, ok := h.Sheet.ByName(parts[0])
	if !ok {
		return nil
	}
	switch name := strings.Join(parts[1:len(parts)-1], "/"); last {
	case "knob", "off":
		first, other := c.Places[0].Width, c.Places[1].Width
		list := append(h.move(c.Name, other, 500, 1200), h.move(c.Name, first, 500, 1200)...)
		return append(list, Step{Wait: h.milliseconds(1100, 1500), Enter: true})
	case "with":
		return h.besideEdge(c, name)
	case "up", "down":
		return h.steps(c)
	}
	return nil
}

// besideEdge puts the other mode channels where an edge wants them.
func (h *Operator) besideEdge(c *sheet.Channel, edge string) (list []Step) {
	for _, e := range h.Sheet.Edges() {
		if e.Channel != c.Number || e.Name != edge {
			continue
		}
		for _, set := range e.With {
			other, _ := h.Sheet.Channel(set.Channel)
			list = append(list, h.flip(other.Name, set.Position))
		}
	}
	return list
}

// asked is where a step has a knob turned to: back first, then between two widths; or to an end.
var asked = regexp.MustCompile(`(?:back to about (\d+) µs or \w+, then )?(?:on )?to (?:between (\d+) and (\d+) µs|about (\d+) µs or)`)

// steps turns the knob as the prompt says, rocks the model, and looks.
func (h *Operator) steps(c *sheet.Channel) (list []Step) {
	m := asked.FindStringSubmatch(h.Text)
	if m == nil {
		return nil
	}
	micros := func(text string) unit.Width {
		us, _ := strconv.Atoi(text)
		return unit.Width(us) * 1000
	}
	to := micros(m[4])
	if m[4] == "" {
		from, until := micros(m[2]), micros(m[3])
		to = from + unit.Width(h.Rand.Int64N(int64(max(1, until-from+1))))
	}
	if m[1] != "" {
		list = append(list, h.move(c.Name, micros(m[1]), 500, 1200)...)
		list = append(list, Step{Wait: h.milliseconds(200, 500)})
	}
	list = append(list, h.move(c.Name, to, 800, 1800)...)
	return append(list,
		Step{Wait: h.milliseconds(700, 1200), Do: h.tilting(sheet.Pitch, 18+h.Rand.IntN(10), 350)},
		Step{Wait: h.milliseconds(700, 1200), Do: h.tilting(sheet.Pitch, 0, 350)},
		Step{Wait: 350*time.Millisecond + h.milliseconds(300, 900), Enter: true, Looks: true})
}

// SaysOf is the key for what the surfaces do, which are in a mode: that of the edge beside which the knob stands.
func (h *Operator) SaysOf(prompt, mode string) string {
	for _, e := range h.Sheet.Edges() {
		if !strings.HasPrefix(prompt, fmt.Sprintf("edges/%s/%s/", name(h.Sheet, e.Channel), e.Name)) {
			continue
		}
		switch mode {
		case e.Below.Name:
			return "a"
		case e.Above.Name:
			return "b"
		}
	}
	return "?"
}

func name(s *sheet.Sheet, channel int) string {
	c, _ := s.Channel(channel)
	return c.Name
}
