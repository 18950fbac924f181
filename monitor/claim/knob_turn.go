package claim

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// What the builder reads of the turn of the gain knob.
const (
	stoodAtEnd    = "%s fully %s stands at %s, not at the sheet's %s"
	turnsWrongWay = "turning it there moved channel %d from %s, the wrong way: reverse the channel in the " +
		"transmitter"
	reversedOrNotReached = "it did not move. Either channel %d is reversed in the transmitter, or turning the knob does " +
		"not reach it; turn it fully %s, that tells which"
	wrongEndOrNotReached = "it did not move. Either that end is set wrong in the transmitter, or turning the knob does " +
		"not reach channel %d; turn it fully %s, that tells which"
	stoodInCentre    = "%s in the centre of its turn stands at %s, %s from %s"
	endsNotTheSheets = "its ends are not the sheet's: set those first, then do the drill gain again"
	endsNotSeenYet   = "its ends were not seen yet: do the drill gain from its start, that tells what to set"
	knobMovesOthers  = "%s, but moved %s: give channel %d the knob as its source in the transmitter, or correct the " +
		"channel in the sheet"
	knobMovesNothing = "%s: give the channel the knob as its source in the transmitter, or take off what holds it, a " +
		"fixed value or a flat curve"
)

// answered judges where the builder says that the gain knob was turned to.
func (g *gain) answered(ask drill.Ask, d *event.DrillAnsweredData, m event.ChannelMove, span event.Span, b *Book) {
	if !b.handsReach.Moved { // perhaps nothing here answers to any control
		return
	}
	if ask.Act == drill.ActCentre {
		g.inCentre(d, m, span, b)
		return
	}
	if i := slices.IndexFunc(g.channel.Places, func(p sheet.Place) bool { return p.Name == ask.Place }); i >= 0 {
		g.atEnd(g.channel.Places[i], g.channel.Places[1-i], d, m, span, b)
	}
}

// atEnd judges one end of the turn; other is the opposite one.
//
//	as it should   anticlockwise 1500, clockwise 2012
//	reversed       anticlockwise 2012, clockwise 1500   it moved, the wrong way
//	dead           anticlockwise 1500, clockwise 1500   it never moved
func (g *gain) atEnd(end, other sheet.Place, d *event.DrillAnsweredData, m event.ChannelMove, span event.Span, b *Book) {
	tolerance := b.sheet.Tolerance.Position
	g.Stood[end.Name] = m.ToNS
	if unit.Abs(m.ToNS-end.Width) <= tolerance {
		return
	}
	turned := unit.Abs(m.ToNS-m.FromNS) >= moved
	was, known := g.Stood[other.Name]
	stands := fmt.Sprintf(stoodAtEnd, g.channel.Name, end.Name, unit.FormatWidth(m.ToNS), unit.FormatWidth(end.Width))
	var remedy string
	switch {
	case turned && (end.Width > other.Width) != (m.ToNS > m.FromNS):
		remedy = fmt.Sprintf(turnsWrongWay, g.channel.Number, unit.FormatWidth(m.FromNS))
	case turned:
		remedy = g.setting(b)
	case known && unit.Abs(m.ToNS-was) < levelApart:
		remedy = g.dead(d, b)
	case unit.Abs(m.ToNS-other.Width) <= tolerance:
		remedy = fmt.Sprintf(reversedOrNotReached, g.channel.Number, other.Name)
	default:
		remedy = fmt.Sprintf(wrongEndOrNotReached, g.channel.Number, other.Name)
	}
	b.wrong(FamilyGain.ID("span"), stands+": "+remedy, span, map[string]int64{"width_ns": int64(m.ToNS)})
}

// inCentre judges the centre of the turn.
func (g *gain) inCentre(d *event.DrillAnsweredData, m event.ChannelMove, span event.Span, b *Book) {
	figures := map[string]int64{"width_ns": int64(m.ToNS)}
	off := unit.Abs(m.ToNS - g.centre())
	stands := fmt.Sprintf(stoodInCentre, g.channel.Name, unit.FormatWidth(m.ToNS), unit.FormatWidth(off), g.centreIs(b))
	if off <= g.within() {
		b.right(FamilyGain.ID("half"), stands, span, figures)
		return
	}
	remedy := "give it a straight curve between its ends in the transmitter"
	switch {
	case g.still(m):
		remedy = g.dead(d, b)
	case !g.endsHold(b):
		remedy = endsNotTheSheets
	case len(g.Stood) < 2 && len(g.Reached) < 2:
		remedy = endsNotSeenYet
	}
	b.wrong(FamilyGain.ID("half"), fmt.Sprintf("%s (%s): %s", stands, unit.FormatWidth(g.centre()), remedy), span, figures)
}

// still reports whether turning the knob reached nothing: it stood at the same width
// at all places that were asked for.
func (g *gain) still(m event.ChannelMove) bool {
	for _, at := range g.Stood {
		if unit.Abs(at-m.ToNS) >= levelApart {
			return false
		}
	}
	return len(g.Stood) == 2 && far(m) < moved
}

// endsHold reports whether nothing was seen of ends that are not the sheet's.
func (g *gain) endsHold(b *Book) bool {
	low, high := g.ends()
	tolerance := b.sheet.Tolerance.Position
	for _, end := range g.channel.Places {
		if at, known := g.Stood[end.Name]; known && unit.Abs(at-end.Width) > tolerance {
			return false
		}
	}
	return g.Least >= low.Width-tolerance && g.Most <= high.Width+tolerance
}

// dead says what it may be that turning the knob reaches nothing on its channel.
func (g *gain) dead(d *event.DrillAnsweredData, b *Book) string {
	reached := fmt.Sprintf("turning it reached nothing on channel %d", g.channel.Number)
	if others := g.others(d, b); len(others) > 0 {
		return fmt.Sprintf(knobMovesOthers, reached, text.And(others), g.channel.Number)
	}
	return fmt.Sprintf(knobMovesNothing, reached)
}

// others names the channels that moved while the knob's did not.
func (g *gain) others(d *event.DrillAnsweredData, b *Book) (names []string) {
	for _, m := range d.Channels {
		if h := b.sheet.Heartbeat; m.Channel == g.channel.Number || h != nil && h.Channel == m.Channel || unit.Abs(m.ToNS-m.FromNS) < moved {
			continue
		}
		names = append(names, fmt.Sprintf("%s by %s", numbered(b, m.Channel), unit.FormatWidth(far(m))))
	}
	return names
}
