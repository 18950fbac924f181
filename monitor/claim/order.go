package claim

import (
	"fmt"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/say"
	"benchproof.example/monitor/sheet"
)

// What tells a channel that a control drives from one that a hand moved meanwhile.
const (
	alongLeast = 60_000 // ns that another channel may move along, unless the sheet wants a mix
	shareOff   = 3      // two shares of a movement are alike when they differ by no more than this part of the greater
	driven     = 2      // answers in a row at which a channel goes along alike for the control to drive it,
	pushed     = 3      // and where that is a stick, too: a hand that pushes it along lets both go
)

// along is a channel that moved while a control was moved for the order drill. What the
// control drives comes back with it, by as much:
//
//	stick          ____                       ____
//	          ____/    \____  driven     ____/    \____  a hand
//	channel     ____
//	          _/    \____               ______/--------
type along struct {
	PPM   int64 `json:"ppm"`   // of the control's movement, at the latest answer; below 0: the other way
	Times int   `json:"times"` // answers in a row that were alike
}

// company are the channels that moved further along than they may, in words.
type company struct {
	all    []string
	driven []string // of these, those that the control drives
	wanted bool     // the sheet wants a mix to each of these, only a smaller one
}

// order judges which channel a control moved, and which way. On the way back to neutral
// only what moved along is of interest.
func (s *stick) order(step string, d *fact.AnswerData, span fact.Span, b *Book) {
	want, out := s.end(step)
	switch {
	case out:
		s.Asked = want.Width - s.from(want)
	case step == "neutral":
		s.Asked = -s.Asked
	default:
		return
	}
	mine := move(d, s.channel.Number)
	others := s.company(d, mine, out, b)
	figures := map[string]int64{"from_ns": mine.FromNS, "to_ns": mine.ToNS}
	if far(mine) < moved {
		s.instead(step, &others, span, b)
		return
	}
	if out {
		s.sense(want, mine, span, figures, b)
	}
	s.alone(step, out, &others, span, figures, b)
}

// from is where a control comes from on its way to an end: its neutral, or the middle
// where the sheet gives none; the throttle its other end.
func (s *stick) from(end sheet.Place) int64 {
	ends := s.ends()
	switch {
	case s.channel.Kind == sheet.Throttle && end.Name == ends[0].Name:
		return ends[1].Width
	case s.channel.Kind == sheet.Throttle:
		return ends[0].Width
	case s.channel.Neutral != 0:
		return s.channel.Neutral
	}
	return (ends[0].Width + ends[1].Width) / 2
}

// sense judges which way the control's own channel went.
func (s *stick) sense(want sheet.Place, mine fact.Move, span fact.Span, figures map[string]int64, b *Book) {
	if (want.Width > mine.FromNS) != (mine.ToNS > mine.FromNS) {
		b.wrong("order/"+s.channel.Name, fmt.Sprintf("%s to %s moved channel %d to %s, the wrong way: reverse the channel in the transmitter",
			s.channel.Name, want.Name, s.channel.Number, say.Width(mine.ToNS)), span, figures)
		return
	}
	if s.Turned[want.Name] = true; len(s.Turned) == len(s.ends()) {
		b.right("order/"+s.channel.Name, fmt.Sprintf("%s moves channel %d, and the right way to both ends", s.channel.Name, s.channel.Number), span, figures)
	}
}

// instead is for a control whose own channel did not move.
func (s *stick) instead(step string, others *company, span fact.Span, b *Book) {
	switch {
	case len(others.driven) > 0:
		b.wrong("order/"+s.channel.Name, fmt.Sprintf("%s moved %s instead of channel %d: exchange the channels' sources in the transmitter, or its channel order",
			s.channel.Name, say.And(others.driven), s.channel.Number), span, nil)
	case len(others.all) > 0:
		b.unclear("order/"+s.channel.Name, fmt.Sprintf("%s to %s: channel %d did not move, but %s: was another control moved? The way back and the other end tell",
			s.channel.Name, step, s.channel.Number, say.And(others.all)))
	}
}

// alone judges what moved along with the control's own channel.
func (s *stick) alone(step string, out bool, others *company, span fact.Span, figures map[string]int64, b *Book) {
	id := "alone/" + s.channel.Name
	switch {
	case len(others.driven) > 0 && others.wanted:
		b.wrong(id, fmt.Sprintf("%s also moved %s: make the mix smaller in the transmitter, or raise its at_most in the sheet's mixes_wanted", s.channel.Name, say.And(others.driven)), span, figures)
	case len(others.driven) > 0:
		b.wrong(id, fmt.Sprintf("%s also moved %s: switch the mix off in the transmitter, or write it into the sheet's mixes_wanted", s.channel.Name, say.And(others.driven)), span, figures)
	case len(others.all) > 0:
		delete(s.Alone, step)
		b.unclear(id, fmt.Sprintf("%s to %s: %s moved too, by a mix or by a hand: leave all other controls alone, and do the drill order again", s.channel.Name, step, say.And(others.all)))
	case out:
		if s.Alone[step] = true; len(s.Alone) == len(s.ends()) {
			b.right(id, fmt.Sprintf("%s moves no other channel than %d", s.channel.Name, s.channel.Number), span, figures)
		}
	}
}

// company lists the channels that moved along without being wanted to, or further than
// wanted.
func (s *stick) company(d *fact.AnswerData, mine fact.Move, out bool, b *Book) (c company) {
	c.wanted = true
	for _, m := range d.Channels {
		if h := b.sheet.Heartbeat; m.Channel == s.channel.Number || h != nil && h.Channel == m.Channel {
			continue
		}
		drives := s.drives(m, mine, out, b)
		most, wanted := s.allowed(m.Channel, far(mine), b)
		if far(m) <= most {
			continue
		}
		text := fmt.Sprintf("%s by %s", numbered(b, m.Channel), say.Width(far(m)))
		if wanted {
			text += fmt.Sprintf(" (the sheet wants %s at most)", say.Width(most))
		}
		c.all = append(c.all, text)
		if drives {
			c.driven, c.wanted = append(c.driven, text), c.wanted && wanted
		}
	}
	return c
}

// drives follows how a channel goes along, and reports whether the control drives it.
func (s *stick) drives(m, mine fact.Move, out bool, b *Book) bool {
	way := s.Asked
	if far(mine) >= moved {
		way = mine.ToNS - mine.FromNS
	}
	if abs(way) < moved { // it went and came back: nothing to compare with
		return false
	}
	ppm := (m.ToNS - m.FromNS) * 1_000_000 / way
	was := s.Along[m.Channel]
	now := &along{PPM: ppm}
	if out || was != nil && near(ppm, was.PPM) { // a way back alone begins nothing
		now.Times = 1
	}
	// A mix may push one way at both ends, but on its way back it undoes what it did.
	crossed := out && s.channel.Kind != sheet.Throttle
	if was != nil && (near(ppm, was.PPM) || crossed && near(ppm, -was.PPM)) {
		now.Times += was.Times
	}
	if s.Along[m.Channel] = now; ppm == 0 {
		delete(s.Along, m.Channel)
	}
	return now.Times >= s.needs(m.Channel, b)
}

// needs is at how many answers in a row a channel must go along.
func (s *stick) needs(channel int, b *Book) int {
	c, ok := b.sheet.Channel(channel)
	if ok && (c.Kind == sheet.Stick || c.Kind == sheet.Throttle) && s.channel.Kind != sheet.Throttle {
		return pushed
	}
	return driven
}

// near reports whether two shares are alike.
func near(a, b int64) bool { return abs(a-b) <= max(abs(a), abs(b))/shareOff }

// allowed is how far a channel may move along with the control's own. What the sheet
// wants at most is from neutral to an end: where the control went further, that counts
// as much more.
func (s *stick) allowed(channel int, went int64, b *Book) (most int64, wanted bool) {
	half := int64(1)
	for _, e := range s.ends() {
		half = max(half, abs(e.Width-s.from(e)))
	}
	for _, m := range b.sheet.Mixes {
		if m.From == s.channel.Number && m.To == channel {
			return m.AtMost * max(half, went) / half, true
		}
	}
	return alongLeast - 1, false
}

// numbered names a channel by its number, and by its name where it has one.
func numbered(b *Book, channel int) string {
	text := fmt.Sprintf("channel %d", channel)
	if c, ok := b.sheet.Channel(channel); ok {
		text += " (" + c.Name + ")"
	}
	return text
}
