package sheet

import (
	"fmt"
	"slices"
)

// What the builder reads of a righting switch that may be meant, but seldom is.
const (
	rightingChoosesModes = "%s rights the model and chooses its mode too, so that going from mode to mode may pass it: put righting " +
		"on a switch of its own"
	rightingOnTheWay = "%s rights the model at %s, which its lever passes on the way from %s to %s: put righting at an end of a " +
		"switch, or on a momentary one"
	rightingByAccident = "%s rights the model and is neither momentary nor guarded: a hand may set it off, or leave it on; put it on a " +
		"momentary switch, or say what guards it (guard: cover)"
	rightingLeansOnNone = "righting leans on a mode that holds an attitude, and the sheet has none that is wanted and does: stays, so " +
		"that what the switch does can't be shown"
	rightingInFailsafe = "without a signal %s goes to %s, so that the receiver rights the model then: have failsafe.heard rest it"
	rightingHeld       = "without a signal %s holds: a signal that is lost while it is at %s leaves it there; have failsafe.heard rest it"
)

// Righting is a switch that overrides the mode and brings the model upright.
type Righting struct {
	Setting
	Key   string   // that the sheet has it under
	Over  []string // modes that it overrides, by name; nil: the sheet does not say
	Guard string   // "cover" or "lock", "" for none
}

// righting reads the switch, under its key or the older one.
func (r *reader) righting(n *node) *Righting {
	if n == nil {
		return nil
	}
	rec := r.record(n, n.key)
	x := &Righting{Key: n.key, Over: r.modesNamed(rec.get("over"))}
	x.Guard, _ = r.choice(rec.get("guard"))
	set := r.setting(rec, "the righting switch")
	if set == nil {
		return nil
	}
	x.Setting = *set
	return x
}

// modesNamed reads a list of modes of the stabiliser.
func (r *reader) modesNamed(n *node) (names []string) {
	for _, item := range r.list(n) {
		name, ok := r.text(item)
		switch {
		case !ok:
		case !slices.ContainsFunc(r.sheet.Stabiliser.Modes, func(m Mode) bool { return m.Name == name }):
			r.refuse(item, fmt.Sprintf("%s, which is no mode of the sheet", quote(name)), "the name of a mode")
		case slices.Contains(names, name):
			r.refuse(item, name+" a second time", "each mode once")
		default:
			names = append(names, name)
		}
	}
	return names
}

// Righting is the switch that overrides the mode, nil for none.
func (s *Sheet) Righting() *Righting {
	if s.Stabiliser == nil {
		return nil
	}
	return s.Stabiliser.Righting
}

// Rest is where a channel is that is not at one of its places: where it comes to rest by itself, or
// is put.
func (s *Sheet) Rest(at Setting) Setting {
	c, _ := s.Channel(at.Channel)
	for _, p := range c.Places {
		if p.Name != at.Position {
			return Setting{c.Number, p.Name, p.Width}
		}
	}
	return at
}

// Overridden are the modes that the righting switch overrides, those in which a tilt shows it: they
// are wanted somewhere, and what outputs do there with a tilt does not last.
func (s *Sheet) Overridden() (list []*Mode) {
	x := s.Righting()
	if x == nil {
		return nil
	}
	for i := range s.Stabiliser.Modes {
		m := &s.Stabiliser.Modes[i]
		fades := m.Does == DoesNothing || m.Does == DoesReturn
		if fades && len(m.WantedAt) > 0 && (x.Over == nil || slices.Contains(x.Over, m.Name)) {
			list = append(list, m)
		}
	}
	return list
}

// HoldsAttitude is the first mode that is wanted somewhere and whose answers to a tilt stay, nil for none.
func (s *Sheet) HoldsAttitude() *Mode {
	if s.Stabiliser == nil {
		return nil
	}
	for i := range s.Stabiliser.Modes {
		if m := &s.Stabiliser.Modes[i]; m.Does == DoesStay && len(m.WantedAt) > 0 {
			return m
		}
	}
	return nil
}

// rightingDoubts are about a switch that rights the model when nobody means it, or can't be shown to.
func (s *Sheet) rightingDoubts() (list []remark) {
	x := s.Righting()
	if x == nil {
		return nil
	}
	say := func(text string, args ...any) {
		list = append(list, remarked(fmt.Sprintf(text, args...), "stabiliser", x.Key))
	}
	c, _ := s.Channel(x.Channel)
	switch before, after, passed := c.beside(x.Setting); {
	case slices.Contains(s.ModeChannels(), c.Number):
		say(rightingChoosesModes, c.Name)
	case passed:
		say(rightingOnTheWay, c.Name, x.Position, before, after)
	case c.Kind != Momentary && x.Guard == "":
		say(rightingByAccident, c.Name)
	}
	if s.HoldsAttitude() == nil {
		say(rightingLeansOnNone)
	}
	switch p, ok := s.Preset(c.Number); {
	case !ok:
	case p.Rule == Hold:
		list = append(list, remarked(fmt.Sprintf(rightingHeld, c.Name, x.Position), "failsafe", "heard"))
	case p.Met(x.Width, x.Width, s.Tolerance.Preset):
		list = append(list, remarked(fmt.Sprintf(rightingInFailsafe, c.Name, x.Position), "failsafe", "heard", c.Name))
	}
	return list
}

// beside are the places next to one on either side, by width; false where it is an end.
func (c *Channel) beside(at Setting) (before, after string, ok bool) {
	var low, high Place
	for _, p := range c.Places {
		if p.Width < at.Width && (low.Name == "" || p.Width > low.Width) {
			low = p
		}
		if p.Width > at.Width && (high.Name == "" || p.Width < high.Width) {
			high = p
		}
	}
	return low.Name, high.Name, low.Name != "" && high.Name != ""
}
