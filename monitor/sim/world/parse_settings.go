package world

import (
	"strconv"
	"time"

	"benchproof.example/decode/scale"
)

func (p *parser) scale() {
	if len(p.script.channels) > 0 {
		p.refuse("a scale below a channel", "the scale before the channels")
	}
	var s scale.Scale
	for i := range 2 {
		s.Counts[i] = p.whole("a count", 0, scale.MaxCount)
		s.Nanos[i] = p.whole("a width in us", 0, widest) * us
	}
	if err := s.Check(); p.mistake == nil && err != nil {
		p.refuse("a scale that is no line", err.Error())
		return
	}
	p.script.scale = s
}

func (p *parser) packets() {
	p.literal("every")
	p.script.packets = p.span("the pace of the link", time.Millisecond, time.Second)
}

func (p *parser) channel() {
	c := channelPlan{line: p.line.number, number: int(p.whole("the channel's number", 1, numbers)) - 1}
	c.name = p.name("the channel's name")
	p.refuseTaken(&c)
	c.start = p.width("where it stands at first")
	c.low, c.high = min(lowStop, c.start), max(highStop, c.start)
	if p.more() {
		p.literal("stops")
		c.low, c.high = p.width("the lower stop"), p.width("the upper stop")
		if p.mistake == nil && !(c.low <= c.start && c.start <= c.high) {
			p.refuse("a start outside the stops", "lower stop, start and upper stop in rising order")
		}
	}
	p.script.channels = append(p.script.channels, c)
}

func (p *parser) refuseTaken(c *channelPlan) {
	for _, v := range verbs() {
		if v.word == c.name {
			p.refuse(strconv.Quote(c.name), "a channel name that is not the word of a step")
		}
	}
	for i := range p.script.channels {
		if o := &p.script.channels[i]; o.number == c.number {
			p.refuse("channel "+strconv.Itoa(c.number+1)+" again", "each channel once; line "+strconv.Itoa(o.line)+" has it")
		} else if o.name == c.name {
			p.refuse(strconv.Quote(c.name)+" again", "each name once; line "+strconv.Itoa(o.line)+" has it")
		}
	}
}

func (p *parser) place() {
	i := p.channelName()
	at := place{name: p.name("the place's name"), width: p.width("where the place lies")}
	if p.mistake != nil {
		return
	}
	c := &p.script.channels[i]
	switch {
	case c.beat != nil:
		p.refuse("a place on the heartbeat "+c.name, "places on a channel that is a switch")
	case c.placeNamed(at.name) >= 0:
		p.refuse(strconv.Quote(at.name)+" again", "each place of "+c.name+" once")
	}
	c.places = append(c.places, at)
}

func (p *parser) heartbeat() {
	i := p.channelName()
	beat := heartbeatPlan{low: p.width("the lower end"), high: p.width("the upper end")}
	p.literal("every")
	beat.every = p.span("the heartbeat's period", 100*time.Millisecond, time.Hour)
	if p.mistake != nil {
		return
	}
	if len(p.script.channels[i].places) > 0 {
		p.refuse("a heartbeat on the switch "+p.script.channels[i].name, "a channel without places")
	}
	if beat.high <= beat.low {
		p.refuse("a heartbeat that does not rise", "the lower end first")
	}
	p.script.channels[i].beat = &beat
}

func (p *parser) link() {
	tap := p.tapName()
	p.literal("loss")
	loss := p.share("the mean share of missed packets", 0, 0.99)
	p.literal("burst")
	burst := float64(p.whole("the mean length of a run of missed packets", 1, 10_000))
	if p.mistake != nil {
		return
	}
	// Every run of misses is followed by at least one packet that is heard.
	if loss > burst/(burst+1) {
		p.refuse("a loss that needs longer bursts", "a share of at most burst/(burst+1)")
	}
	p.script.taps[tap].loss, p.script.taps[tap].burst = loss, burst
}

func (p *parser) wire() {
	tap := p.tapName()
	if p.mistake != nil {
		return
	}
	t := &p.script.taps[tap]
	p.options([]string{"missing", "damage", "noise"}, func(option string) {
		switch option {
		case "missing":
			t.missing = p.share("the share of frames never sent", 0, 1)
		case "damage":
			t.damage = p.share("the share of characters hit", 0, 1)
		case "noise":
			t.noise = float64(p.whole("stray characters a second", 0, 1000))
		}
	})
}

func (p *parser) adapter() {
	tap := p.anyTap()
	clump := int64(0)
	if p.oneOf("clump", "none") == 0 && p.mistake == nil {
		clump = p.span("the adapter's timer", 100*time.Microsecond, time.Second)
	}
	switch {
	case p.mistake != nil:
	case tap < len(p.script.taps):
		p.script.taps[tap].clump = clump
	default:
		p.script.board.clump = clump
	}
}

func (p *parser) hands() {
	p.oneOrMore(func() {
		switch p.oneOf("steady", "varied") {
		case 0:
			p.script.hands.steady = true
		case 1:
			p.script.hands.varied = true
		}
	})
}

func (p *parser) cutoff() {
	c := p.handChannel()
	width := p.width("where the cut holds it")
	if p.script.cutoff != nil {
		p.refuse("a second cutoff", "one throttle cut")
	}
	p.script.cutoff = &cutoffPlan{channel: c, width: width}
}
