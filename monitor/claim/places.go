package claim

import (
	"fmt"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// What the builder reads of the places of a switch.
const (
	restsAndComesBack = "%s rests at %s, goes to %s when pressed and comes back"
	standsUnmoved     = "%s stands at %s, but was not seen to move: whatever rests there shows nothing; work its switch"
	restedAndCameBack = "%s rests at %s, goes to %s when pressed and came back"
	standsInPlace     = "at %s %s stands at %s on the bus, %s from where the sheet puts it"
	standsOff         = "at %s %s stands at %s on the bus, %s %s the sheet's: set what it sends at %s to %s in the transmitter, " +
		"by %s; or correct the sheet"
	standsAtNoPlace = "%s stands at %s on the bus, which is no place of the sheet's %d: another control, one with " +
		"more positions, or a mix drives the channel in the transmitter"
)

// places judges where a switch, a momentary or a fixed channel stands. A width
// that is within the tolerance of a place is that place. One that is of none can
// be known by elimination: once all other places were seen where they belong, or
// as many odd widths as places are left, the order of the widths shows which is
// which. A channel that never moved shows nothing: no switch may be assigned to it.
// What was seen before it did counts from then on. A fixed one need not move.
type places struct {
	Seen map[string]level `json:"seen"` // by place: where it was seen, within the tolerance
	Odd  []level          `json:"odd"`  // widths of no place
	At   standing         `json:"at"`

	channel *sheet.Channel
}

// level is a width that the channel was seen to stand at.
type level struct {
	Width unit.Width `json:"width_ns"`
	Span  event.Span `json:"span"`
}

func newPlaces(b *Book, c *sheet.Channel) *perTap {
	p := &places{channel: c}
	switch c.Kind {
	case sheet.Momentary:
		b.add(p.key(""),
			fmt.Sprintf(restsAndComesBack, c.Name, unit.FormatWidth(c.Places[0].Width), unit.FormatWidth(c.Places[1].Width)),
			on(DoPress, c, ""), c.Name)
	default:
		for _, place := range c.Places {
			settle := on(DoPut, c, place.Name)
			if c.Kind == sheet.Fixed {
				settle = Action{Do: DoListen}
			}
			b.add(p.key(place.Name), fmt.Sprintf("at %s %s stands at %s on the bus", place.Name, c.Name, unit.FormatWidth(place.Width)),
				settle, c.Name)
		}
	}
	return newPerTap(func() judge { return &places{Seen: map[string]level{}, channel: c} })
}

// key names the claim on a place; a momentary has one on both.
func (p *places) key(place string) key {
	if p.channel.Kind == sheet.Momentary {
		return FamilyMomentary.ofChannel(p.channel)
	}
	return FamilyPosition.ofChannel(p.channel, place)
}

func (p *places) id(place string) string { return p.key(place).id() }

func (p *places) see(e *event.Event, b *Book) {
	if newSource(e) && !p.At.Moved {
		p.Seen, p.Odd, p.At = map[string]level{}, nil, standing{}
	}
	d, ok := e.Data.(event.SwitchData)
	if !ok || e.About != event.AboutSwitch.Called(p.channel.Name) || !believed(d.Signal, d.Suspect) {
		return
	}
	seen := level{d.WidthNS, event.Span{From: e.From, To: e.At}}
	moved := p.At.stood(d.WidthNS)
	if d.Within {
		p.Seen[d.To] = seen
		p.within(d.To, b)
	} else if i := p.odd(d.WidthNS, b.sheet.Tolerance.Position); i >= 0 {
		p.Odd[i] = seen
	} else {
		p.Odd = append(p.Odd, seen)
	}
	if moved {
		for _, place := range p.channel.Places {
			p.settleEarlier(place.Name, d.To, b)
		}
	}
	p.eliminate(d, b)
}

// odd finds an odd width that is this one again.
func (p *places) odd(width, tolerance unit.Width) int {
	return slices.IndexFunc(p.Odd, func(l level) bool { return unit.Abs(l.Width-width) <= tolerance })
}

// settleEarlier finds for a place that was seen before the channel first moved.
func (p *places) settleEarlier(place, now string, b *Book) {
	if _, seen := p.Seen[place]; seen && place != now && p.channel.Kind != sheet.Momentary {
		p.within(place, b)
	}
}

// within finds for a place, and for a momentary switch once it came back.
func (p *places) within(place string, b *Book) {
	if !p.At.Moved && p.channel.Kind != sheet.Fixed {
		b.unclear(p.id(place), fmt.Sprintf(standsUnmoved, p.channel.Name, unit.FormatWidth(p.Seen[place].Width)))
		return
	}
	l := p.Seen[place]
	if p.channel.Kind == sheet.Momentary {
		rest, pressed := p.Seen[p.channel.Places[0].Name], p.Seen[p.channel.Places[1].Name]
		if place == p.channel.Places[0].Name && pressed.Width != 0 && len(p.Odd) == 0 {
			b.right(p.id(place), fmt.Sprintf(restedAndCameBack,
				p.channel.Name, unit.FormatWidth(rest.Width), unit.FormatWidth(pressed.Width)),
				event.Span{From: pressed.Span.From, To: rest.Span.To},
				map[string]int64{"rest_ns": int64(rest.Width), "pressed_ns": int64(pressed.Width)})
		}
		return
	}
	want, _ := p.channel.Place(place)
	at, offBy := unit.FormatWidth(l.Width), unit.FormatWidth(unit.Abs(l.Width-want.Width))
	b.right(p.id(place), fmt.Sprintf(standsInPlace, place, p.channel.Name, at, offBy),
		l.Span, map[string]int64{"width_ns": int64(l.Width), "off_ns": int64(l.Width - want.Width)})
}

// eliminate finds against places once it is clear which one an odd width is.
func (p *places) eliminate(d event.SwitchData, b *Book) {
	var free []sheet.Place
	for _, place := range p.channel.Places {
		if _, seen := p.Seen[place.Name]; !seen {
			free = append(free, place)
		}
	}
	switch {
	case len(p.Odd) == 0:
	case len(free) == 0 || len(p.Odd) > len(free):
		if !d.Within {
			p.extra(d, b)
		}
	case len(p.Odd) == len(free):
		for i, l := range p.assigned(free) {
			p.off(free[i], l, b)
		}
	}
}

// assigned gives the odd widths to the places that are left, in the order of
// their widths; the result is in the order of free, which it sorts.
func (p *places) assigned(free []sheet.Place) []level {
	slices.SortFunc(free, func(a, b sheet.Place) int { return int(a.Width - b.Width) })
	odd := slices.Clone(p.Odd)
	slices.SortFunc(odd, func(a, b level) int { return int(a.Width - b.Width) })
	return odd
}

func (p *places) off(want sheet.Place, l level, b *Book) {
	way := "above"
	if l.Width < want.Width {
		way = "below"
	}
	at, offBy := unit.FormatWidth(l.Width), unit.FormatWidth(unit.Abs(l.Width-want.Width))
	b.wrong(p.id(want.Name), fmt.Sprintf(standsOff, want.Name, p.channel.Name, at, offBy, way, want.Name, unit.FormatWidth(want.Width), p.setting(want)),
		l.Span, map[string]int64{"width_ns": int64(l.Width), "off_ns": int64(l.Width - want.Width)})
}

// setting names what sets the width of a place in a transmitter: a middle position lies
// at no end of the travel, and a fixed channel has none.
func (p *places) setting(at sheet.Place) string {
	if p.channel.Kind == sheet.Fixed {
		return fmt.Sprintf("the fixed value of channel %d", p.channel.Number)
	}
	below, above := false, false
	for _, other := range p.channel.Places {
		below, above = below || other.Width < at.Width, above || other.Width > at.Width
	}
	if below && above {
		return fmt.Sprintf("the offset of channel %d", p.channel.Number)
	}
	return fmt.Sprintf("the end point of channel %d", p.channel.Number)
}

// extra is for a width when every place is accounted for.
func (p *places) extra(d event.SwitchData, b *Book) {
	l := p.Odd[max(0, p.odd(d.WidthNS, b.sheet.Tolerance.Position))]
	text := fmt.Sprintf(standsAtNoPlace,
		p.channel.Name, unit.FormatWidth(l.Width), len(p.channel.Places))
	b.wrong(p.id(d.To), text, l.Span, map[string]int64{"width_ns": int64(l.Width)})
}

// placeOf names the place of a width: within the tolerance, or by elimination.
func (p *places) placeOf(width, tolerance unit.Width) string {
	var free []sheet.Place
	for _, place := range p.channel.Places {
		if unit.Abs(width-place.Width) <= tolerance {
			return place.Name
		}
		if _, seen := p.Seen[place.Name]; !seen {
			free = append(free, place)
		}
	}
	if len(free) == 0 || len(free) != len(p.Odd) {
		return ""
	}
	for i, l := range p.assigned(free) {
		if unit.Abs(width-l.Width) <= tolerance {
			return free[i].Name
		}
	}
	return ""
}

func (p *places) forget(what string, _ unit.Time) {
	if what == p.channel.Name || what == TopicAll {
		p.Seen, p.Odd, p.At = map[string]level{}, nil, standing{}
	}
}
