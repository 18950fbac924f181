package world

import (
	"strconv"
	"time"
)

func (p *parser) signal() action {
	on := p.oneOf("on", "off") == 0
	if p.more() {
		return muteAir{tap: p.tapName(), on: on}
	}
	return power{on: on}
}

func (p *parser) stick() action {
	c := p.handChannel()
	to := p.within(c, "where the hand goes")
	p.literal("over")
	over := p.span("how long the hand takes", 10*time.Millisecond, time.Hour)
	return moveStick{channel: c, to: to, over: over}
}

func (p *parser) wiggle() action {
	s := wiggleSticks{channels: p.handChannels("for")}
	p.literal("for")
	s.lasts = p.span("how long the hand stirs", 100*time.Millisecond, longest)
	return s
}

func (p *parser) press() action {
	c := p.channelName()
	if p.mistake == nil && p.script.channels[c].declared() != 2 {
		p.refuse(strconv.Quote(p.script.channels[c].name), "a switch with two places")
	}
	p.literal("for")
	return pressLever{channel: c, lasts: p.span("how long it is pressed", time.Millisecond, time.Hour)}
}

func (p *parser) release() action {
	var r releaseSticks
	p.oneOrMore(func() {
		c := p.handChannel()
		if p.mistake != nil {
			return
		}
		if plan := &p.script.channels[c]; plan.atStop(plan.start) {
			p.refuse(strconv.Quote(plan.name), "a channel that starts between its stops: no spring brings this one back")
		}
		r.channels = append(r.channels, c)
	})
	return r
}

func (p *parser) cut() action {
	on := p.oneOf("on", "off") == 0
	if p.mistake == nil && p.script.cutoff == nil {
		p.refuse("a cut", `a setting such as "cutoff throttle 988" first`)
	}
	return setCut{on: on}
}

func (p *parser) hiccup() action {
	tap := p.tapName()
	p.literal("for")
	lasts := p.span("how long the receiver is at its presets", time.Millisecond, time.Hour)
	if p.mistake != nil {
		return nil
	}
	if t := &p.script.taps[tap]; t.onLoss != onLossPreset {
		p.refuse("a hiccup of a receiver that is "+onLossWords[t.onLoss], "a receiver that is preset: others have nothing to jump to")
	}
	return hiccup{tap: tap, lasts: lasts}
}

func (p *parser) supply() action {
	tap := p.tapName()
	return supply{tap: tap, on: p.oneOf("on", "off") == 0}
}

func (p *parser) unplug() action { return cable{tap: p.anyTap(), in: false} }
func (p *parser) plug() action   { return cable{tap: p.anyTap(), in: true} }

// tilt reads how the model is tilted.
func (p *parser) tilt() action {
	p.boarded("a tilt")
	a := tiltModel{about: axis(p.oneOf(axisWords...))}
	a.to = p.whole("how far in degrees", -90, 90) * 1000
	p.literal("over")
	a.over = p.span("how long the hands take", 10*time.Millisecond, time.Minute)
	return a
}

func (p *parser) restart() action {
	p.boarded("a restart")
	p.literal(p.script.board.name)
	return restartBoard{}
}

func (p *parser) end() action {
	p.ended = true
	return nil
}

// handChannel is a channel that a hand moves: no switch, no heartbeat.
func (p *parser) handChannel() int {
	c := p.channelName()
	if p.mistake != nil {
		return c
	}
	if plan := &p.script.channels[c]; len(plan.places) > 0 || plan.beat != nil {
		p.refuse(strconv.Quote(plan.name), "a channel that a hand moves, without places or heartbeat")
	}
	return c
}
