package world

import (
	"strconv"

	"benchproof.example/decode/scale"
)

// widest is the greatest width that a script may name, µs.
const widest = 10_000

// width is a pulse width that the scale can carry, ns.
func (p *parser) width(what string) int64 {
	w := p.whole(what+" in us", 0, widest) * us
	if c := p.script.scale.Count(w); p.mistake == nil && (c < 0 || c > scale.MaxCount) {
		p.refuse(strconv.FormatInt(w/us, 10)+" us, which is "+strconv.FormatInt(c, 10)+" counts", what+" whose count lies in 0 to 2047")
	}
	return w
}

// channelName is the index of a channel declared above, or 0 after refusing.
func (p *parser) channelName() int {
	names := make([]string, len(p.script.channels))
	for i := range names {
		names[i] = p.script.channels[i].name
	}
	return p.known("a channel", names)
}

// tapName is the index of a receiver declared above, or 0 after refusing.
func (p *parser) tapName() int {
	return p.known("a receiver", p.script.TapNames()[:len(p.script.taps)])
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
	places := p.script.channels[channel].places
	names := make([]string, len(places))
	for i := range names {
		names[i] = places[i].name
	}
	return p.known("a place", names)
}

// position is a place's width or a width.
func (p *parser) position(channel int) int64 {
	c := &p.script.channels[channel]
	if p.more() {
		if i := c.placeNamed(p.words[0]); i >= 0 {
			p.word("")
			return c.places[i].width
		}
	}
	return p.width("a place of " + c.name + " or a width")
}

// positions is a position, or a range of widths.
func (p *parser) positions(channel int) spread {
	two := p.parted()
	s := fixed(p.position(channel))
	if two {
		s.high = p.width("a width")
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
