package drill

import (
	"fmt"
	"slices"
	"strings"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What a step of a way costs. A way is the cheaper the fewer unwanted modes it
// touches, then the fewer buttons it has held meanwhile, then the shorter it is.
const (
	costStep     = 1
	costHeld     = 10    // a button is held while another hand moves a switch
	costOther    = 20    // a wanted mode is asked for that is neither left nor come to
	costPassed   = 100   // a lever passes a place at which an unwanted mode is asked for
	costUnwanted = 1_000 // an unwanted mode is asked for as long as a switch takes
	mostStands   = 1_000 // more combinations of places than that are not searched
)

// switchPath brings the mode switches from one wanted combination to the next, one
// switch at a time. Where they stand at first nobody knows.
type switchPath struct {
	sheet    *sheet.Sheet
	channels []*sheet.Channel // that a wanted combination names, as in the sheet
	at       switchStates
	modes    map[int][]string // asked for at the stands that were looked at, by number
}

// switchStates is where the channels of a walk stand: the index of a place of each, or
// unknown.
type switchStates []int

const unknown = -1

// switchStep is one step: a channel is put to a place.
type switchStep struct {
	channel, place int    // indices
	touches        string // the unwanted mode that is asked for behind it, a phrase; "" for none
}

func newSwitchPath(s *sheet.Sheet) *switchPath {
	w := &switchPath{sheet: s, modes: map[int][]string{}}
	for i := range s.Channels {
		c := &s.Channels[i]
		named := func(m sheet.Mode) bool {
			return slices.ContainsFunc(m.WantedAt, func(at sheet.Combination) bool {
				return slices.ContainsFunc(at, func(set sheet.Setting) bool { return set.Channel == c.Number })
			})
		}
		if !slices.ContainsFunc(s.Stabiliser.Modes, named) {
			continue
		}
		w.channels = append(w.channels, c)
		if w.at = append(w.at, unknown); c.Kind == sheet.Fixed {
			w.at[len(w.at)-1] = 0
		}
	}
	return w
}

// to finds the cheapest way to a wanted combination, and stands there then.
func (w *switchPath) to(wanted sheet.Combination) []switchStep {
	goal := w.goal(wanted)
	flips := w.direct(goal)
	if w.size() <= mostStands {
		flips = w.search(goal)
	}
	for i := range flips {
		f := &flips[i]
		w.at[f.channel] = f.place
		if i < len(flips)-1 && w.size() <= mostStands {
			f.touches = w.unwanted(w.at)
		}
	}
	return flips
}

// goal has unknown where the combination names no place.
func (w *switchPath) goal(wanted sheet.Combination) switchStates {
	goal := make(switchStates, len(w.channels))
	for i, c := range w.channels {
		goal[i] = unknown
		for _, set := range wanted {
			if set.Channel == c.Number {
				goal[i] = slices.IndexFunc(c.Places, func(p sheet.Place) bool { return p.Name == set.Position })
			}
		}
	}
	return goal
}

func (w *switchPath) size() int {
	size := 1
	for _, c := range w.channels {
		size = min(size*(len(c.Places)+1), mostStands+1)
	}
	return size
}

// number is that of a stand, below size.
func (w *switchPath) number(at switchStates) (n int) {
	for i, c := range w.channels {
		n = n*(len(c.Places)+1) + at[i] + 1
	}
	return n
}

// direct moves each switch that stands elsewhere, in the order of the sheet.
func (w *switchPath) direct(goal switchStates) (flips []switchStep) {
	for i, place := range goal {
		if place != unknown && place != w.at[i] {
			flips = append(flips, switchStep{channel: i, place: place})
		}
	}
	return flips
}

// found is the cheapest way to a stand that is known so far.
type found struct {
	at    switchStates
	cost  int
	flips []switchStep
}

// search is the shortest way through all stands, by cost.
func (w *switchPath) search(goal switchStates) []switchStep {
	best := make([]*found, w.size())
	open := []*found{{at: slices.Clone(w.at)}}
	best[w.number(w.at)] = open[0]
	var end *found
	for len(open) > 0 {
		from := open[0]
		open = open[1:]
		if goal.met(from.at) && (end == nil || from.cost < end.cost) {
			end = from
		}
		for _, next := range w.next(from, goal) {
			n := w.number(next.at)
			if known := best[n]; (known == nil || next.cost < known.cost) && (end == nil || next.cost < end.cost) {
				best[n] = next
				open = append(open, next)
			}
		}
	}
	return end.flips
}

// met reports whether a stand is what a goal asks for.
func (goal switchStates) met(at switchStates) bool {
	for i, place := range goal {
		if place != unknown && at[i] != place {
			return false
		}
	}
	return true
}

// next are the stands that are one switch away.
func (w *switchPath) next(from *found, goal switchStates) (list []*found) {
	for i, c := range w.channels {
		if c.Kind == sheet.Fixed {
			continue
		}
		for place := range c.Places {
			if place == from.at[i] {
				continue
			}
			at := slices.Clone(from.at)
			at[i] = place
			cost := from.cost + costStep + w.held(from.at, i) + w.passed(from.at, i, place) + w.stop(at, goal)
			list = append(list, &found{at: at, cost: cost, flips: append(slices.Clone(from.flips), switchStep{channel: i, place: place})})
		}
	}
	return list
}

// held is for buttons that have to be held down meanwhile.
func (w *switchPath) held(at switchStates, moving int) (cost int) {
	for i, c := range w.channels {
		if i != moving && c.Kind == sheet.Momentary && at[i] != unknown && c.Places[at[i]].Name == "pressed" {
			cost += costHeld
		}
	}
	return cost
}

// passed is for the places that a lever passes.
func (w *switchPath) passed(at switchStates, i, to int) (cost int) {
	if at[i] == unknown {
		return 0
	}
	places := w.channels[i].Places
	low, high := min(places[at[i]].Width, places[to].Width), max(places[at[i]].Width, places[to].Width)
	way := slices.Clone(at)
	for p := range places {
		if way[i] = p; low < places[p].Width && places[p].Width < high && w.unwanted(way) != "" {
			cost += costPassed
		}
	}
	return cost
}

// unwanted names what is asked for at a stand, if the sheet wants that nowhere: a
// mode without a wanted position, or none; "" otherwise.
func (w *switchPath) unwanted(at switchStates) string {
	for _, name := range w.asked(at) {
		if name == "" {
			return text.NoMode
		}
		for _, m := range w.sheet.Stabiliser.Modes {
			if m.Name == name && len(m.WantedAt) == 0 {
				return name + " (wanted nowhere)"
			}
		}
	}
	return ""
}

// asked are the modes that may be asked for at a stand, "" for none: a channel of
// which nobody knows where it stands may stand anywhere.
func (w *switchPath) asked(at switchStates) []string {
	n := w.number(at)
	names, looked := w.modes[n]
	if !looked {
		names = w.lookAt(at)
		w.modes[n] = names
	}
	return names
}

func (w *switchPath) lookAt(at switchStates) (names []string) {
	i := slices.Index(at, unknown)
	if i < 0 {
		name, _ := w.sheet.ModeAt(func(channel int) unit.Width { return w.width(at, channel) })
		return []string{name}
	}
	known := slices.Clone(at)
	for p := range w.channels[i].Places {
		known[i] = p
		for _, name := range w.asked(known) {
			if !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return names
}

// stop is what standing there costs on the way from one stand to a goal.
func (w *switchPath) stop(at, goal switchStates) int {
	switch {
	case goal.met(at):
		return 0
	case w.unwanted(at) != "":
		return costUnwanted
	}
	ends := slices.Concat(w.asked(w.at), w.asked(goal))
	for _, name := range w.asked(at) {
		if !slices.Contains(ends, name) {
			return costOther
		}
	}
	return 0
}

// width of a channel that no wanted combination names: where it rests.
func (w *switchPath) width(at switchStates, channel int) unit.Width {
	for i, c := range w.channels {
		if c.Number == channel {
			return c.Places[at[i]].Width
		}
	}
	c, ok := w.sheet.Channel(channel)
	if !ok || len(c.Places) == 0 {
		return 0
	}
	if rest, ok := c.Place("rest"); ok {
		return rest.Width
	}
	return c.Places[0].Width
}

// prompts lead to a wanted combination. All but the last are about one switch on the
// way; the last awaits the whole of it, and asks for that.
func (w *switchPath) prompts(id string, wanted sheet.Combination, asks Ask) (list []Prompt) {
	flips := w.to(wanted)
	last := switches(w.sheet, id, wanted, asks)
	for i, f := range flips {
		c := w.channels[f.channel]
		place := c.Places[f.place]
		text := putText(c, place.Name)
		if i == len(flips)-1 {
			last.Text = text + staying(w.sheet, wanted, c.Number)
			last.Asks.Channel, last.Asks.Place, last.Held = c.Number, place.Name, holdsAnother(w.sheet, wanted, c.Number)
			break
		}
		if f.touches != "" {
			text += fmt.Sprintf("; on the way the bus may ask for %s: no order of the switches avoids it", f.touches)
		}
		list = append(list, Prompt{
			ID: fmt.Sprintf("%s/way/%d/%s/%s", id, i+1, c.Name, place.Name), Text: text,
			Asks:  Ask{Act: ActPass, Channel: c.Number, Place: place.Name},
			Until: Condition{Targets: []Target{{c.Number, place.Width, w.sheet.Tolerance.Position}}},
		})
	}
	if len(flips) == 0 {
		last.Text = "leave the switches where they are" + staying(w.sheet, wanted, 0)
	}
	return append(list, last)
}

// holdsAnother reports that a button has to be held pressed beside the switch that is moved.
func holdsAnother(s *sheet.Sheet, wanted sheet.Combination, moved int) bool {
	return slices.ContainsFunc(wanted, func(set sheet.Setting) bool {
		c, _ := s.Channel(set.Channel)
		return set.Channel != moved && c.Kind == sheet.Momentary && set.Position == "pressed"
	})
}

// staying says where the other switches of a combination are left. A fixed channel is no
// switch.
func staying(s *sheet.Sheet, wanted sheet.Combination, moved int) string {
	var names []string
	for _, set := range wanted {
		if c, _ := s.Channel(set.Channel); set.Channel != moved && c.Kind != sheet.Fixed {
			names = append(names, c.Name+" stays at "+set.Position)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return " (" + strings.Join(names, ", ") + ")"
}
