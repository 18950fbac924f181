package script

import (
	"strconv"

	"benchproof.example/monitor/sim/world"
)

// switchChannel is the index of a channel with places.
func (p *parser) switchChannel() int {
	c := p.channelName()
	if p.mistake == nil && len(p.script.Channels[c].Places) == 0 {
		p.refuse(strconv.Quote(p.script.Channels[c].Name), "a channel with places above")
	}
	return c
}

// handChannel is a channel that a hand moves: no switch, no heartbeat.
func (p *parser) handChannel() int {
	c := p.channelName()
	if p.mistake != nil {
		return c
	}
	if plan := &p.script.Channels[c]; len(plan.Places) > 0 || plan.Heartbeat != nil {
		p.refuse(strconv.Quote(plan.Name), "a channel that a hand moves, without places or heartbeat")
	}
	return c
}

// handChannels are channels that hands move, up to a word.
func (p *parser) handChannels(until string) []int {
	list := []int{p.handChannel()}
	for p.more() && p.words[0] != until {
		list = append(list, p.handChannel())
	}
	return list
}

// within is a width between the stops of a channel.
func (p *parser) within(c int, what string) int64 {
	to := p.width(what)
	if p.mistake != nil {
		return to
	}
	if plan := &p.script.Channels[c]; to < plan.Low || to > plan.High {
		p.refuse(strconv.FormatInt(to/us, 10)+" us", "a width between the stops of "+plan.Name+", "+
			strconv.FormatInt(plan.Low/us, 10)+" and "+strconv.FormatInt(plan.High/us, 10))
	}
	return to
}

// widest is the greatest width that a script may name, µs.
const widest = 10_000

// width is a pulse width that the scale can carry, ns.
func (p *parser) width(what string) int64 {
	w := p.whole(what+" in us", 0, widest) * us
	if c := p.script.Scale.Count(w); p.mistake == nil && (c < 0 || c > world.MaxCount) {
		p.refuse(strconv.FormatInt(w/us, 10)+" us, which is "+strconv.FormatInt(c, 10)+" counts", what+" whose count lies in 0 to 2047")
	}
	return w
}

// channelName is the index of a channel declared above, or 0 after refusing.
func (p *parser) channelName() int {
	names := make([]string, len(p.script.Channels))
	for i := range names {
		names[i] = p.script.Channels[i].Name
	}
	return p.known("a channel", names)
}

// tapName is the index of a receiver declared above, or 0 after refusing.
func (p *parser) tapName() int {
	return p.known("a receiver", p.script.TapNames()[:len(p.script.Receivers)])
}

// anyTap is the index of a receiver, or of the board after them.
func (p *parser) anyTap() int { return p.known("a receiver", p.script.TapNames()) }

func (p *parser) known(what string, names []string) int {
	if len(names) == 0 {
		p.refuse(strconv.Quote(p.word(what)), what+" declared above; there is none yet")
		return 0
	}
	return p.oneOf(names...)
}

// placeOf is the index of one of a channel's places.
func (p *parser) placeOf(channel int) int {
	places := p.script.Channels[channel].Places
	names := make([]string, len(places))
	for i := range names {
		names[i] = places[i].Name
	}
	return p.known("a place", names)
}

// position is a place's width or a width.
func (p *parser) position(channel int) int64 {
	c := &p.script.Channels[channel]
	if p.more() {
		if i := c.PlaceNamed(p.words[0]); i >= 0 {
			p.word("")
			return c.Places[i].Width
		}
	}
	return p.width("a place of " + c.Name + " or a width")
}

// positions is a position, or a range of widths.
func (p *parser) positions(channel int) world.Spread {
	two := p.parted()
	s := world.Fixed(p.position(channel))
	if two {
		s.High = p.width("a width")
	}
	return p.ordered(s)
}

// oneOrMore reads at least one of something, up to the end of the line.
func (p *parser) oneOrMore(read func()) {
	read()
	for p.more() {
		read()
	}
}

// options reads words with a value each, in any order, none twice.
func (p *parser) options(words []string, read func(option string)) {
	seen := map[string]bool{}
	for p.more() {
		w := words[p.oneOf(words...)]
		if p.mistake != nil {
			return
		}
		if seen[w] {
			p.refuse("a second "+strconv.Quote(w), "each option once")
			return
		}
		seen[w] = true
		read(w)
	}
}
