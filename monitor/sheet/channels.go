package sheet

import (
	"benchproof.example/monitor/unit"
	"cmp"
	"fmt"
	"slices"
)

// The kinds of channels.
const (
	Stick     = "stick"
	Throttle  = "throttle"
	Knob      = "knob"
	Fixed     = "fixed"
	Switch    = "switch"
	Momentary = "momentary"
)

// Channel is one channel of the model.
type Channel struct {
	Number  int // 1 to Protocol.LastChannel
	Name    string
	Kind    string // Stick, Throttle, Knob, Fixed, Switch or Momentary
	Places  []Place
	Neutral unit.Width // ns; 0: the sheet names none
	Drives  string     // "motor", or ""
}

// Place is a named width of a channel: an end of a stick or knob; cut, idle
// and full of a throttle (idle may be left out); a position of a switch; rest
// and pressed of a momentary switch; the value of a fixed channel. Places keep
// the order of the sheet.
type Place struct {
	Name  string
	Width unit.Width // ns
}

// Digital reports one of the channels that are only off or on: of their two places the
// narrower one is off. They are numbered behind the others.
func (s *Sheet) Digital(channel int) bool { return channel > s.Protocol.Channels }

// RestsNear reports that a width is near a place of the channel or its neutral,
// where it comes to stand by itself or is put; within is ns.
func (c *Channel) RestsNear(width, within unit.Width) bool {
	_, at := c.PlaceAt(width, within)
	return at || c.Neutral != 0 && unit.Abs(width-c.Neutral) <= within
}

// VisibleChange is how far a control stands from where it rests or is put, ns, so that
// a receiver that puts it just there would be a coincidence.
const VisibleChange unit.Width = 60_000

// PlaceAt is the place of the channel that a width is at, within ns of it; false for none.
func (c *Channel) PlaceAt(width, within unit.Width) (Place, bool) {
	for _, p := range c.Places {
		if unit.Abs(width-p.Width) <= within {
			return p, true
		}
	}
	return Place{}, false
}

// PlaceName is the name of the place that a channel is at by its width, as far as the tolerance
// of positions goes; "" for none, and for a channel that the sheet does not have.
func (s *Sheet) PlaceName(channel int, width unit.Width) string {
	c, ok := s.Channel(channel)
	if !ok {
		return ""
	}
	p, _ := c.PlaceAt(width, s.Tolerance.Position)
	return p.Name
}

// Place finds a place by its name; "neutral" is one where the channel has it.
func (c *Channel) Place(name string) (Place, bool) {
	for _, p := range c.Places {
		if p.Name == name {
			return p, true
		}
	}
	if name == neutral && c.Neutral != 0 {
		return Place{neutral, c.Neutral}, true
	}
	return Place{}, false
}

// channels reads the channels. A sheet without any is written {}: who wants to listen first
// has nothing to say of them yet.
func (r *reader) channels(n *node) {
	if n != nil && n.shape == table && len(n.entries) == 0 {
		r.sheet.Listens = true
		return
	}
	for _, e := range r.entries(n) {
		number, _ := r.wholeBetween(e.key, 1, int64(r.sheet.Protocol.LastChannel()))
		var c Channel
		sound := r.clean(func() { c = r.oneChannel(e.value, number, e.key) })
		r.unsound[c.Name] = r.unsound[c.Name] || !sound
		r.sheet.Channels = append(r.sheet.Channels, c)
	}
	slices.SortFunc(r.sheet.Channels, func(a, b Channel) int { return cmp.Compare(a.Number, b.Number) })
}

func (r *reader) oneChannel(n *node, number int, key *node) Channel {
	c := Channel{Number: number}
	rec := r.record(n, "channel "+key.text)
	r.channelName(&c, rec)
	kind, ok := r.choice(rec.get("kind"))
	if !ok {
		return c
	}
	c.Kind = kind
	rec.only("a channel of kind "+kind, kind)
	if r.clean(func() { r.places(&c, rec) }) && r.sheet.Digital(number) {
		r.checkDigital(&c, key)
	}
	return c
}

func (r *reader) channelName(c *Channel, rec *record) {
	n := rec.get("name")
	name, ok := r.name(n, reservedChannels...)
	if !ok {
		r.nameless = true
		return
	}
	if other, taken := r.sheet.ByName(name); taken {
		r.refuse(n, fmt.Sprintf("a second channel with the name %s (channel %d has it)", quote(name), other.Number), "a name of its own")
	}
	c.Name = name
}

func (r *reader) places(c *Channel, rec *record) {
	switch c.Kind {
	case Stick, Knob:
		r.namedPlaces(c, rec.get("ends"))
		r.neutral(c, rec)
	case Throttle:
		r.keyedPlaces(c, rec, "cut", "full")
		c.Drives, _ = r.choice(rec.get("drives"))
		r.checkThrottle(c, rec)
	case Fixed:
		r.keyedPlaces(c, rec, "value")
	case Switch:
		r.namedPlaces(c, rec.get("positions"))
	case Momentary:
		r.keyedPlaces(c, rec, "rest", "pressed")
	}
}

// keyedPlaces reads places that are keys of the channel itself. Those named
// must be there; idle may be.
func (r *reader) keyedPlaces(c *Channel, rec *record, needed ...string) {
	for _, key := range needed {
		rec.get(key)
	}
	if rec.none {
		return
	}
	for _, e := range rec.at.entries {
		if slices.Contains(needed, e.key.text) || c.Kind == Throttle && e.key.text == "idle" {
			r.addPlace(c, e)
		}
	}
}

// namedPlaces reads places that the builder names: the two ends of a stick or
// knob, or the positions of a switch.
func (r *reader) namedPlaces(c *Channel, n *node) {
	entries := r.entries(n)
	if len(entries) == 0 {
		return
	}
	if c.Kind != Switch && len(entries) != 2 {
		r.refuse(n, fmt.Sprintf("%d ends", len(entries)), "two ends")
	}
	if c.Kind == Switch && len(entries) < 2 {
		r.refuse(n, "a switch with one position", "two positions or more, or kind: fixed,")
	}
	for _, e := range entries {
		r.name(e.key, reservedPlaces...)
		r.addPlace(c, e)
	}
}

// addPlace reads a width and keeps it from coming too near to another place of
// the channel: nearer than twice the tolerance, one reading could be both. The
// throttle's cut and idle may lie close together.
func (r *reader) addPlace(c *Channel, e entry) {
	width, ok := r.width(e.value)
	if ok && c.Kind != Throttle {
		apart := 2 * r.sheet.Tolerance.Position
		for _, p := range c.Places {
			if p.Width != 0 && p.Name != e.key.text && distance(p.Width, width) < apart {
				r.refuse(e.value, fmt.Sprintf("%s at %s, only %s from %s", e.key.text, micros(width), micros(distance(p.Width, width)), p.Name),
					fmt.Sprintf("a distance of at least %s, twice the position tolerance,", micros(apart)))
				break
			}
		}
	}
	c.Places = append(c.Places, Place{e.key.text, width})
}

func (r *reader) neutral(c *Channel, rec *record) {
	n := rec.get("neutral")
	width, ok := r.width(n)
	if !ok || len(c.Places) != 2 || c.Places[0].Width == 0 || c.Places[1].Width == 0 {
		return
	}
	lo, hi := ordered(c.Places[0].Width, c.Places[1].Width)
	if width <= lo || width >= hi {
		r.refuse(n, "a neutral of "+micros(width)+", which is not between the ends", fmt.Sprintf("a width above %s and below %s", micros(lo), micros(hi)))
		return
	}
	c.Neutral = width
}

// checkThrottle wants idle on the way from cut to full.
func (r *reader) checkThrottle(c *Channel, rec *record) {
	cut, _ := c.Place("cut")
	full, _ := c.Place("full")
	if cut.Width == 0 || full.Width == 0 {
		return
	}
	if distance(cut.Width, full.Width) < 2*r.sheet.Tolerance.Position {
		r.refuse(rec.get("full"), "full throttle at "+micros(full.Width)+", next to cut", "a width well away from cut")
		return
	}
	idle, there := c.Place("idle")
	lo, hi := ordered(cut.Width, full.Width)
	if there && idle.Width != 0 && (idle.Width < lo || idle.Width > hi || idle.Width == full.Width) {
		r.refuse(rec.get("idle"), "idle at "+micros(idle.Width)+", which is not between cut and full",
			fmt.Sprintf("a width from %s (cut) towards %s (full)", micros(cut.Width), micros(full.Width)))
	}
}

// checkDigital keeps to what one bit can show.
func (r *reader) checkDigital(c *Channel, key *node) {
	if c.Kind != Switch && c.Kind != Momentary {
		r.refuse(key, fmt.Sprintf("a %s on channel %d, which is digital (off or on)", c.Kind, c.Number), "a switch of two positions or a momentary switch")
		return
	}
	if len(c.Places) != 2 {
		r.refuse(key, fmt.Sprintf("%d positions on channel %d, which is digital (off or on)", len(c.Places), c.Number), "two positions")
	}
}

func distance(a, b unit.Width) unit.Width {
	lo, hi := ordered(a, b)
	return hi - lo
}

func ordered(a, b unit.Width) (lo, hi unit.Width) { return min(a, b), max(a, b) }
