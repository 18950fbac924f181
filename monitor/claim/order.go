package claim

import (
	"fmt"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of the order of channels.
const (
	onlyOthersMoved = "%s to %s: channel %d did not move, but %s: was another control moved? Go on: the other end and " +
		"the way back tell"
	othersMovedToo = "%s to %s: %s moved too, by a mix or by a hand: leave all other controls alone, and do the drill " +
		"order again"
	movesNoOther       = "%s moves no other channel than %d"
	wasLetGo           = "%s was back when %s was answered: hold it there until it is answered"
	wentWrongWay       = "%s to %s moved channel %d to %s, the wrong way: reverse the channel in the transmitter"
	rightWayToBothEnds = "%s moves channel %d, and the right way to both ends"
	movesInsteadOfOwn  = "%s moved %s instead of channel %d: exchange the channels' sources in the transmitter, or its " +
		"channel order"
	mixTooGreat = "%s also moved %s: make the mix smaller in the transmitter, or raise its at_most in the sheet's " +
		"mixes_wanted"
	mixNotWanted = "%s also moved %s: switch the mix off in the transmitter, or write it into the sheet's mixes_wanted"
)

// What tells a channel that a control drives from one that a hand moved meanwhile.
const (
	alongLeast = 60_000 // ns that another channel may move along, unless the sheet wants a mix
	shareOff   = 3      // two ways are alike when they differ by no more than this part of the greater
)

// levels are widths of channels, ns, by number.
type levels map[int]unit.Width

// company are the channels that moved further along than they may, in words.
type company struct {
	names  []string
	wanted bool // the sheet wants a mix to each of these, only a smaller one
}

func (c *company) add(text string, wanted bool) {
	c.wanted = wanted && (c.wanted || len(c.names) == 0)
	c.names = append(c.names, text)
}

// order judges which channel a control moved, and which way. What moved along with it is
// known at the end only: what it drives goes back with it.
//
//	stick          ___                          ___
//	          ____/   \      __  driven    ____/   \      __  a hand
//	start              \____/   rest                \____/
//	channel    ___/‾‾‾\____/‾‾               ______/‾‾‾‾‾‾‾‾‾‾
func (s *stick) order(ask drill.Ask, d *event.DrillAnsweredData, span event.Span, b *Book) {
	want, isEnd := s.end(ask.Place)
	mine := move(d, s.channel.Number)
	if isEnd && len(s.Held) == 0 {
		s.Start = levels{}
		for _, m := range d.Channels {
			s.Start[m.Channel] = m.FromNS
		}
	}
	if isEnd {
		s.out(want, d, mine, span, b)
	}
	if len(s.Held) > 0 && s.isLast(ask) {
		s.back(d, span, b)
		clear(s.Held)
	}
}

// isLast reports whether at a prompt a control is back where it came from.
func (s *stick) isLast(ask drill.Ask) bool {
	if s.channel.Kind == sheet.Throttle {
		return ask.Place == s.ends()[0].Name
	}
	return ask.Act == drill.ActRelease
}

// out judges one end.
func (s *stick) out(want sheet.Place, d *event.DrillAnsweredData, mine event.ChannelMove, span event.Span, b *Book) {
	s.Held[want.Name] = levels{}
	for _, m := range d.Channels {
		s.Held[want.Name][m.Channel] = m.ToNS
	}
	others := s.moving(d, b)
	figures := map[string]int64{"from_ns": int64(mine.FromNS), "to_ns": int64(mine.ToNS)}
	id := FamilyAlone.ID(s.channel.Name)
	switch {
	case far(mine) < moved && len(others.names) > 0:
		b.unclear(FamilyOrder.ID(s.channel.Name), fmt.Sprintf(onlyOthersMoved,
			s.channel.Name, want.Name, s.channel.Number, text.And(others.names)))
		return
	case far(mine) < moved:
		return
	case !away(mine):
		b.unclear(FamilyOrder.ID(s.channel.Name), fmt.Sprintf(wasLetGo, s.channel.Name, want.Name))
		return
	case len(others.names) > 0:
		delete(s.Alone, want.Name)
		b.unclear(id, fmt.Sprintf(othersMovedToo, s.channel.Name, want.Name, text.And(others.names)))
	default:
		if s.Alone[want.Name] = true; len(s.Alone) == len(s.ends()) {
			b.right(id, fmt.Sprintf(movesNoOther, s.channel.Name, s.channel.Number), span, figures)
		}
	}
	s.sense(want, mine, span, figures, b)
}

// sense judges which way the control's own channel went.
func (s *stick) sense(want sheet.Place, mine event.ChannelMove, span event.Span, figures map[string]int64, b *Book) {
	if (want.Width > mine.FromNS) != (mine.ToNS > mine.FromNS) {
		b.wrong(FamilyOrder.ID(s.channel.Name), fmt.Sprintf(wentWrongWay,
			s.channel.Name, want.Name, s.channel.Number, unit.FormatWidth(mine.ToNS)), span, figures)
		return
	}
	if s.Turned[want.Name] = true; len(s.Turned) == len(s.ends()) {
		b.right(FamilyOrder.ID(s.channel.Name), fmt.Sprintf(rightWayToBothEnds, s.channel.Name, s.channel.Number), span, figures)
	}
}

// back judges what went along with the control to its ends and came back with it.
func (s *stick) back(d *event.DrillAnsweredData, span event.Span, b *Book) {
	rest, driven := levels{}, company{}
	for _, m := range d.Channels {
		rest[m.Channel] = m.ToNS
		if s.others(m.Channel, b) && s.drives(m.Channel, m.ToNS, b) {
			most, wanted := s.allowed(m.Channel, b)
			driven.add(s.along(m.Channel, s.furthest(m.Channel, m.ToNS), most, wanted, b), wanted)
		}
	}
	names := text.And(driven.names)
	switch own := s.channel.Number; {
	case names == "":
	case s.furthest(own, rest[own]) < moved:
		b.wrong(FamilyOrder.ID(s.channel.Name), fmt.Sprintf(movesInsteadOfOwn, s.channel.Name, names, own), span, nil)
	case driven.wanted:
		b.wrong(FamilyAlone.ID(s.channel.Name), fmt.Sprintf(mixTooGreat, s.channel.Name, names), span, nil)
	default:
		b.wrong(FamilyAlone.ID(s.channel.Name), fmt.Sprintf(mixNotWanted, s.channel.Name, names), span, nil)
	}
}

// furthest is how far a channel stood at an end from where it rests.
func (s *stick) furthest(channel int, rest unit.Width) (most unit.Width) {
	for _, at := range s.Held {
		most = max(most, unit.Abs(at[channel]-rest))
	}
	return most
}

// drives reports whether a channel went further along than it may, and came back. Where
// it is a stick, too, it went as far at both ends: a hand that pushes it along once lets
// both go at once.
func (s *stick) drives(channel int, rest unit.Width, b *Book) bool {
	most, _ := s.allowed(channel, b)
	far := s.furthest(channel, rest)
	if far <= most || unit.Abs(rest-s.Start[channel]) > far/shareOff {
		return false
	}
	if c, ok := b.sheet.Channel(channel); s.channel.Kind == sheet.Throttle || !ok || c.Kind != sheet.Stick && c.Kind != sheet.Throttle {
		return true
	}
	for _, at := range s.Held {
		if unit.Abs(at[channel]-rest) < far-far/shareOff {
			return false
		}
	}
	return len(s.Held) == len(s.ends())
}

// moving lists the channels that moved along without being wanted to, or further than
// wanted, from where they were before the control was moved.
func (s *stick) moving(d *event.DrillAnsweredData, b *Book) (c company) {
	for _, m := range d.Channels {
		start := s.Start[m.Channel]
		most, wanted := s.allowed(m.Channel, b)
		if went := max(m.MostNS-start, start-m.LeastNS); s.others(m.Channel, b) && went > most {
			c.add(s.along(m.Channel, went, most, wanted, b), wanted)
		}
	}
	return c
}

// others reports whether a channel is not the control's own, nor the heartbeat.
func (s *stick) others(channel int, b *Book) bool {
	h := b.sheet.Heartbeat
	return channel != s.channel.Number && (h == nil || h.Channel != channel)
}

// allowed is how far a channel may go along from neutral to an end.
func (s *stick) allowed(channel int, b *Book) (most unit.Width, wanted bool) {
	for _, m := range b.sheet.Mixes {
		if m.From == s.channel.Number && m.To == channel {
			return m.AtMost, true
		}
	}
	return alongLeast - 1, false
}

func (s *stick) along(channel int, went, most unit.Width, wanted bool, b *Book) string {
	text := fmt.Sprintf("%s by %s", numbered(b, channel), unit.FormatWidth(went))
	if wanted {
		text += fmt.Sprintf(" (the sheet wants %s at most)", unit.FormatWidth(most))
	}
	return text
}

// numbered names a channel by its number, and by its name where it has one.
func numbered(b *Book, channel int) string {
	text := fmt.Sprintf("channel %d", channel)
	if c, ok := b.sheet.Channel(channel); ok {
		text += " (" + c.Name + ")"
	}
	return text
}
