package draft

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Finding is one thing that is known so far, for people.
type Finding struct {
	Text string `json:"text"` // a sentence
	From Source `json:"from"`
}

// Findings are what was found so far: controls by their channels, what moves by itself, and the modes.
func (c *Conversation) Findings() []Finding {
	list := []Finding{}
	m := &c.Model
	controls := slices.Collect(maps.Values(m.Found))
	slices.SortFunc(controls, func(a, b Control) int { return cmp.Or(cmp.Compare(a.Channel, b.Channel), cmp.Compare(a.Key, b.Key)) })
	for i := range controls {
		list = append(list, Finding{controls[i].sentence(), controls[i].From})
	}
	for _, n := range m.Beats {
		list = append(list, Finding{fmt.Sprintf("Channel %d moves by itself: a heartbeat.", n), Measured})
	}
	for _, x := range m.Modes {
		var at []string
		for _, key := range m.modeKeys() {
			at = append(at, m.Found[key].Name+" "+x.At[key])
		}
		list = append(list, Finding{fmt.Sprintf("mode %s: %s", x.Name, strings.Join(at, ", ")), Said})
	}
	return list
}

// sentence says which channel a control is, and where its places are.
func (c *Control) sentence() string {
	text := fmt.Sprintf("%s is channel %d", c.Name, c.Channel)
	if len(c.Places) == 0 {
		return text
	}
	var places []string
	for i := range c.Places {
		places = append(places, c.Places[i].Name+" "+c.Places[i].String())
	}
	return text + ": " + strings.Join(places, ", ")
}

// Progress is how many questions were answered or skipped, of those that are known so far: what is answered may bring
// further ones.
func (c *Conversation) Progress() (done, known int) {
	steps := c.Model.steps()
	for i := range steps {
		if c.Model.Done[steps[i].ID] {
			done++
		}
	}
	return done, len(steps)
}
