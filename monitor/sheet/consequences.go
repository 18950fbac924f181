package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"benchproof.example/monitor/unit"
)

// What the builder reads of what follows from a sheet.
const (
	marginTooGreat = "at %s the sheet's own widths lie only %s inside the window of %s, but margin asks for %s: it " +
		"can't be seen right; move the position, or ask for less"
	windowWithoutPlace     = "no place of %s lies in the window %s to %s of %s: nobody reaches that mode there"
	combinationWithoutMode = "at %s no window covers what the switches send: no mode"
	noGainInMiddle         = "%s turns from one side of %s to the other: there is no gain at all in the middle of its " +
		"turn; a curve that sends one side only mends that"
	presetsWithoutMode = "without a signal the presets ask for no mode: no window covers them"
	steersMotor        = "%s (output %d) is moved by %s too: with %s at cut that stick must not start it; show it on the leads, the drive unable to run"
	anyMemoryMoves     = "any model memory that is selected in the transmitter moves this model, its motor too: have the drive unable to run " +
		"before another is selected, and say other_memory: refused once transmitter and receiver tell memories apart"
	motorAboveIdle = "without a signal %s may stand above its idle: as a minimum a failsafe brings an engine to " +
		"idle and stops an electric motor (UK CAA, CAP 658, 4th edition)"
)

// consequences are what follows from a sheet that is in order but may not be what
// its builder means.
func (s *Sheet) consequences() (list []remark) {
	list = append(list, s.marginsNotMet()...)
	list = append(list, s.cellsNotReached()...)
	list = append(list, s.positionsWithoutMode()...)
	list = append(list, s.gainFolded()...)
	list = append(list, s.motorsSteered()...)
	return append(list, s.withoutSignal()...)
}

func us(ns unit.Width) string { return fmt.Sprintf("%g us", float64(ns)/1000) }

// marginsNotMet: a position that the sheet itself puts too near to an edge.
func (s *Sheet) marginsNotMet() (list []remark) {
	if s.Stabiliser == nil {
		return nil
	}
	for _, mode := range s.Stabiliser.Modes {
		for _, at := range mode.WantedAt {
			for _, cell := range mode.When {
				if margin, inside := s.margin(cell, at); inside && margin < s.Stabiliser.Margin {
					list = append(list, remarked(fmt.Sprintf(marginTooGreat,
						s.spell(at), us(margin), mode.Name, us(s.Stabiliser.Margin)), "stabiliser", "modes", mode.Name, "wanted_at"))
				}
			}
		}
	}
	return list
}

// margin is how far a combination lies inside a cell.
func (s *Sheet) margin(cell Cell, at Combination) (margin unit.Width, inside bool) {
	width := func(channel int) unit.Width {
		for _, set := range at {
			if set.Channel == channel {
				return set.Width
			}
		}
		return 0
	}
	if !cell.Holds(width) {
		return 0, false
	}
	return cell.Margin(width), true
}

func (s *Sheet) spell(at Combination) string {
	var parts []string
	for _, set := range at {
		c, _ := s.Channel(set.Channel)
		parts = append(parts, c.Name+" "+set.Position)
	}
	return strings.Join(parts, " and ")
}

// cellsNotReached: a window in which no place of its channel lies.
func (s *Sheet) cellsNotReached() (list []remark) {
	if s.Stabiliser == nil {
		return nil
	}
	for _, mode := range s.Stabiliser.Modes {
		for _, cell := range mode.When {
			for _, w := range cell {
				if c, ok := s.Channel(w.Channel); ok && !c.reaches(w) {
					list = append(list, remarked(fmt.Sprintf(windowWithoutPlace, c.Name, us(w.Lo), us(w.Hi), mode.Name),
						"stabiliser", "modes", mode.Name, "when"))
				}
			}
		}
	}
	return list
}

func (c *Channel) reaches(w Window) bool {
	for _, p := range c.Places {
		if p.Width >= w.Lo && p.Width < w.Hi {
			return true
		}
	}
	if c.Kind != Knob || len(c.Places) < 2 {
		return false
	}
	lo, hi := min(c.Places[0].Width, c.Places[1].Width), max(c.Places[0].Width, c.Places[1].Width)
	return lo < w.Hi && hi >= w.Lo
}

// positionsWithoutMode: a combination of switch positions that no window covers.
func (s *Sheet) positionsWithoutMode() (list []remark) {
	var channels []*Channel
	for _, n := range s.ModeChannels() {
		c, _ := s.Channel(n)
		if c.Kind != Switch && c.Kind != Momentary {
			return nil // a knob or a fixed channel: not a question of positions
		}
		channels = append(channels, c)
	}
	if len(channels) == 0 {
		return nil
	}
	s.eachCombination(channels, nil, func(at Combination) {
		width := func(channel int) unit.Width {
			for _, set := range at {
				if set.Channel == channel {
					return set.Width
				}
			}
			return 0
		}
		if _, covered := s.ModeAt(width); !covered {
			list = append(list, remarked(fmt.Sprintf(combinationWithoutMode, s.spell(at)), "stabiliser", "modes"))
		}
	})
	return list
}

func (s *Sheet) eachCombination(channels []*Channel, at Combination, f func(Combination)) {
	if len(channels) == 0 {
		f(at)
		return
	}
	c := channels[0]
	for _, p := range c.Places {
		s.eachCombination(channels[1:], append(at[:len(at):len(at)], Setting{c.Number, p.Name, p.Width}), f)
	}
}

// gainFolded: a knob that has no gain in the middle of its turn.
func (s *Sheet) gainFolded() []remark {
	if s.Gain == nil || s.Gain.Law != Folded {
		return nil
	}
	c, ok := s.Channel(s.Gain.Channel)
	if !ok || c.Kind != Knob || (c.Places[0].Width < s.Gain.Zero) == (c.Places[1].Width < s.Gain.Zero) ||
		c.Places[0].Width == s.Gain.Zero || c.Places[1].Width == s.Gain.Zero {
		return nil
	}
	return []remark{remarked(fmt.Sprintf(noGainInMiddle, c.Name, us(s.Gain.Zero)), "gain", "zero")}
}

// motorsSteered: a motor that a stick other than its throttle moves.
func (s *Sheet) motorsSteered() (list []remark) {
	for i := range s.Outputs {
		o := &s.Outputs[i]
		n := slices.IndexFunc(s.Channels, func(c Channel) bool { return c.Kind == Throttle && o.moves(c.Number) })
		for _, m := range o.MovedBy {
			if c, ok := s.Channel(m.Channel); ok && c.Kind == Stick && n >= 0 {
				list = append(list, remarked(fmt.Sprintf(steersMotor, o.Surface, o.Number, c.Name, s.Channels[n].Name),
					"outputs", strconv.Itoa(o.Number), "moved_by"))
			}
		}
	}
	return list
}

// withoutSignal: what the presets ask for, and a motor that may go on.
func (s *Sheet) withoutSignal() (list []remark) {
	if s.Failsafe == nil {
		return nil
	}
	if s.Failsafe.Other == MemoryHeard {
		list = append(list, remarked(anyMemoryMoves, "failsafe", "other_memory"))
	}
	widths, known := s.presetWidths()
	if known && len(widths) > 0 {
		if _, covered := s.ModeAt(func(channel int) unit.Width { return widths[channel] }); !covered {
			list = append(list, remarked(presetsWithoutMode, "failsafe", "heard"))
		}
	}
	for i := range s.Channels {
		c := &s.Channels[i]
		if p, ok := s.Failsafe.Heard.Of(c.Number); ok && c.Kind == Throttle && !s.stops(c, p) {
			// UK CAA, CAP 658, Model Aircraft: A Guide to Safe Flying, 4th
			// edition 2012/2013 (wording from memory; may be superseded).
			list = append(list, remarked(fmt.Sprintf(motorAboveIdle, c.Name), "failsafe", "heard", c.Name))
		}
	}
	return list
}

// presetWidths are those of the mode channels; false where one holds or is free.
func (s *Sheet) presetWidths() (map[int]unit.Width, bool) {
	widths := map[int]unit.Width{}
	for _, n := range s.ModeChannels() {
		p, ok := s.Failsafe.Heard.Of(n)
		if !ok || p.Rule != Exact && p.Rule != AtPlace {
			return nil, false
		}
		widths[n] = p.Width
	}
	return widths, true
}

// stops reports that a preset leaves the throttle at its idle or below, on
// whichever side of its travel that is.
func (s *Sheet) stops(c *Channel, p Preset) bool {
	low, ok := c.Place("idle")
	if !ok {
		low, _ = c.Place("cut")
	}
	full, _ := c.Place("full")
	rises := full.Width > low.Width
	switch p.Rule {
	case Hold:
		return false
	case AtMost:
		return rises && p.Width <= low.Width
	case AtLeast:
		return !rises && p.Width >= low.Width
	}
	return rises && p.Width <= low.Width || !rises && p.Width >= low.Width
}
