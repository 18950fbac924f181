package script

import (
	"strconv"
	"time"

	"benchproof.example/decode/scale"
	"benchproof.example/monitor/sim/world"
)

func (p *parser) scale() {
	if len(p.script.Channels) > 0 {
		p.refuse("a scale below a channel", "the scale before the channels")
	}
	var s scale.Scale
	for i := range 2 {
		s.Counts[i] = p.whole("a count", 0, world.MaxCount)
		s.Nanos[i] = p.whole("a width in us", 0, widest) * us
	}
	if err := s.Check(); p.mistake == nil && err != nil {
		p.refuse("a scale that is no line", err.Error())
		return
	}
	p.script.Scale = s
}

func (p *parser) channel() {
	c := world.ChannelPlan{Number: int(p.whole("the channel's number", 1, world.MaxChannel)) - 1}
	c.Name = p.name("the channel's name")
	p.refuseTaken(&c)
	c.Start = p.width("where it stands at first")
	c.Low, c.High = min(lowStop, c.Start), max(highStop, c.Start)
	if p.more() {
		p.literal("stops")
		c.Low, c.High = p.width("the lower stop"), p.width("the upper stop")
		if p.mistake == nil && !(c.Low <= c.Start && c.Start <= c.High) {
			p.refuse("a start outside the stops", "lower stop, start and upper stop in rising order")
		}
	}
	p.script.Channels, p.channelLines = append(p.script.Channels, c), append(p.channelLines, p.number)
}

func (p *parser) refuseTaken(c *world.ChannelPlan) {
	for _, v := range verbs() {
		if v.word == c.Name {
			p.refuse(strconv.Quote(c.Name), "a channel name that is not the word of a step")
		}
	}
	for i := range p.script.Channels {
		if o := &p.script.Channels[i]; o.Number == c.Number {
			p.refuse("channel "+strconv.Itoa(c.Number+1)+" again", "each channel once; line "+strconv.Itoa(p.channelLines[i])+" has it")
		} else if o.Name == c.Name {
			p.refuse(strconv.Quote(c.Name)+" again", "each name once; line "+strconv.Itoa(p.channelLines[i])+" has it")
		}
	}
}

func (p *parser) place() {
	i := p.channelName()
	at := world.Place{Name: p.name("the place's name"), Width: p.width("where the place lies")}
	if p.mistake != nil {
		return
	}
	c := &p.script.Channels[i]
	switch {
	case c.Heartbeat != nil:
		p.refuse("a place on the heartbeat "+c.Name, "places on a channel that is a switch")
	case c.PlaceNamed(at.Name) >= 0:
		p.refuse(strconv.Quote(at.Name)+" again", "each place of "+c.Name+" once")
	}
	c.Places = append(c.Places, at)
}

func (p *parser) heartbeat() {
	i := p.channelName()
	beat := world.HeartbeatPlan{Low: p.width("the lower end"), High: p.width("the upper end")}
	p.literal("every")
	beat.Every = p.span("the heartbeat's period", 100*time.Millisecond, time.Hour)
	if p.mistake != nil {
		return
	}
	if len(p.script.Channels[i].Places) > 0 {
		p.refuse("a heartbeat on the switch "+p.script.Channels[i].Name, "a channel without places")
	}
	if beat.High <= beat.Low {
		p.refuse("a heartbeat that does not rise", "the lower end first")
	}
	p.script.Channels[i].Heartbeat = &beat
}
