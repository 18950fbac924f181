package drill

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
)

// Edges is the name of the drill that edgesPlan makes.
const Edges = "edges"

// What the prompts of the drill of edges say.
const (
	learnsNothing = "disable limit learning, in the receiver or by taking its gesture off the transmitter, so that nothing that " +
		"is turned now can begin it; press Enter once it is disabled"
	knobOn = "give %s a knob as its source in the transmitter, straight and without a curve, from end to end of its travel, and turn it to and fro; " +
		"press Enter once it follows"
	knobOff = "take the knob off %s again, give it back the switch that it had, and work that once; press Enter once it is done"
	stepUp  = "step %s from below, out of %s, to where %s begins"
	stepOff = "step %s from above, out of %s, to where %s begins"
)

const (
	learningOff = "Limit learning is disabled before a channel of the receiver is given another control: a knob that is turned to and fro may be " +
		"the gesture that begins it, and the servos run to their ends."
	surfacesOnly = "The model is rocked in the hands and the surfaces are looked at: sticks are let go, and gain is at what it was, not at none."
)

// edgesThen is what is to be done once the drill is over.
const edgesThen = "Enable limit learning again if it is wanted, copy what was measured into the sheet (the claims of edges have the lines, and " +
	"windows: {from: measured} belongs to them), and see the modes again: the drill mode does that."

// edgesPlan has a knob, put on a channel that chooses the mode for the occasion, stepped towards each edge between
// two modes, from below and from above: stand, rock the model, look, step. Its prompts are "edges/learning",
// then for each such channel "edges/CHANNEL/knob", for each edge "edges/CHANNEL/EDGE/up" and ".../down", which stand
// anew until the edge is found, before them ".../with" where other channels choose the mode too, and last
// "edges/CHANNEL/off". A channel that is a knob keeps it.
func edgesPlan(s *sheet.Sheet) Plan {
	p := Plan{
		Name:     Edges,
		Purpose:  "a knob on a mode channel is stepped from mode to mode: between which widths the receiver changes, from below and from above",
		Cautions: append(inTheAir(), learningOff, surfacesOnly),
		Tilts:    true,
	}
	if !s.Measures(sheet.MeasureEdges) {
		return p
	}
	edges := s.Edges()
	for _, n := range s.ModeChannels() {
		c, _ := s.Channel(n)
		if steps := stepped(s, c, edges); len(steps) > 0 {
			p.Prompts = append(p.Prompts, mounted(c, steps)...)
		}
	}
	if len(p.Prompts) > 0 {
		p.Prompts = append([]Prompt{{ID: Edges + "/learning", Text: learnsNothing, Asks: Ask{Act: ActDisable}}}, p.Prompts...)
		p.Then = edgesThen
	}
	return p
}

// mounted has a knob on the channel meanwhile.
func mounted(c *sheet.Channel, steps []Prompt) []Prompt {
	if c.Kind == sheet.Knob {
		return steps
	}
	id := Edges + "/" + c.Name + "/"
	on := Prompt{ID: id + "knob", Text: fmt.Sprintf(knobOn, c.Name), Asks: Ask{Act: ActKnobOn, Channel: c.Number}, Until: Condition{Moves: c.Number}}
	off := Prompt{ID: id + "off", Text: fmt.Sprintf(knobOff, c.Name), Asks: Ask{Act: ActKnobOff, Channel: c.Number}, Until: Condition{Moves: c.Number}}
	return append(append([]Prompt{on}, steps...), off)
}

// stepped are the prompts of the edges of a channel whose modes do not answer alike.
func stepped(s *sheet.Sheet, c *sheet.Channel, edges []sheet.Edge) (list []Prompt) {
	with := ""
	for i := range edges {
		e := &edges[i]
		if e.Channel != c.Number || e.Alike() {
			continue
		}
		id := fmt.Sprintf("%s/%s/%s/", Edges, c.Name, e.Name)
		if others := fmt.Sprint(e.With); len(e.With) > 0 && others != with {
			with = others
			list = append(list, switches(s, id+"with", e.With, Ask{Act: ActPass, Channel: e.With[0].Channel, Place: e.With[0].Position}))
		}
		below, above := text.ModeName(e.Below.Name), text.ModeName(e.Above.Name)
		ask := Ask{Act: ActStep, Channel: c.Number, At: i, Side: 1}
		list = append(list, Prompt{ID: id + "up", Text: fmt.Sprintf(stepUp, c.Name, below, above), Asks: ask, Until: Condition{Told: true}})
		ask.Side = -1
		list = append(list, Prompt{ID: id + "down", Text: fmt.Sprintf(stepOff, c.Name, above, below), Asks: ask, Until: Condition{Told: true}})
	}
	return list
}

// The keys that say what the surfaces do.
const (
	KeyBelow   = "a" // as in the mode below the edge
	KeyAbove   = "b" // as in that above it
	KeyNeither = "?" // that can't be told
)

// KeyOf reads what was typed at a step: one of the keys, or the name of a mode; "" where it is neither.
func KeyOf(e *sheet.Edge, words string) string {
	switch words = strings.ToLower(words); words {
	case KeyBelow, strings.ToLower(e.Below.Name):
		return KeyBelow
	case KeyAbove, strings.ToLower(e.Above.Name):
		return KeyAbove
	case KeyNeither:
		return KeyNeither
	}
	return ""
}

// doesWords say how surfaces answer when the model is rocked.
var doesWords = map[string]string{
	sheet.DoesNothing: " (nothing)", sheet.DoesReturn: " (a kick that goes back)", sheet.DoesStay: " (an answer that stays while it is held)",
}

// Keys says which keys an edge has.
func Keys(e *sheet.Edge) string {
	as := func(m *sheet.Mode) string { return text.ModeName(m.Name) + doesWords[m.Does] }
	return fmt.Sprintf("%s and Enter if they answer as in %s, %s if as in %s, %s if you can't tell", KeyBelow, as(e.Below), KeyAbove, as(e.Above), KeyNeither)
}
