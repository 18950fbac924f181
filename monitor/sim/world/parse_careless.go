package world

import (
	"strconv"
	"time"
)

// gate reads a round gate.
func (p *parser) gate() {
	p.literal("round")
	g := gate{across: p.handChannel(), along: p.handChannel()}
	if p.mistake == nil && g.across == g.along {
		p.refuse("the same channel twice", "the two channels of a stick")
	}
	p.script.gates = append(p.script.gates, g)
}

// phase reads a flight phase.
func (p *parser) phase() {
	c := p.switchChannel()
	if p.mistake != nil {
		return
	}
	plan := &p.script.channels[c]
	f := phase{at: standing{channel: c, place: plan.places[p.placeOf(c)].name}, adds: map[int]int64{}}
	p.oneOrMore(func() {
		other := p.channelName()
		if _, twice := f.adds[other]; p.mistake == nil && (twice || other == c) {
			p.refuse(strconv.Quote(p.script.channels[other].name)+" again", "each other channel once")
		}
		f.adds[other] = p.whole("what is added in us", -1000, 1000) * us
	})
	p.script.phases = append(p.script.phases, f)
}

// switchChannel is a channel with places.
func (p *parser) switchChannel() int {
	c := p.channelName()
	if p.mistake == nil && len(p.script.channels[c].places) == 0 {
		p.refuse(strconv.Quote(p.script.channels[c].name), "a channel with places above")
	}
	return c
}

// tremble reads a control that flickers.
func (p *parser) tremble() {
	c := p.handChannel()
	p.literal("every")
	every := p.spans("the time between two flickers", 20*time.Millisecond, time.Hour)
	p.script.trembles = append(p.script.trembles, tremblePlan{channel: c, every: every})
}

func (p *parser) slam() action {
	var a slamSticks
	for first := true; p.mistake == nil && (first || p.more() && p.words[0] != "over"); first = false {
		c := p.handChannel()
		a.channels = append(a.channels, c)
		a.to = append(a.to, p.within(c, "where the stick is thrown"))
	}
	p.literal("over")
	a.over = p.span("how long the hand takes", 10*time.Millisecond, time.Minute)
	if p.more() {
		p.literal("for")
		a.lasts = p.span("how long it is held there", time.Millisecond, time.Hour)
	}
	return a
}

// within is a width between the stops of a channel.
func (p *parser) within(c int, what string) int64 {
	to := p.width(what)
	if p.mistake != nil {
		return to
	}
	if plan := &p.script.channels[c]; to < plan.low || to > plan.high {
		p.refuse(strconv.FormatInt(to/us, 10)+" us", "a width between the stops of "+plan.name+", "+
			strconv.FormatInt(plan.low/us, 10)+" and "+strconv.FormatInt(plan.high/us, 10))
	}
	return to
}

func (p *parser) circle() action {
	a := circleSticks{channels: []int{p.handChannel(), p.handChannel()}}
	if p.more() && p.words[0] != "every" {
		a.channels = append(a.channels, p.handChannel(), p.handChannel())
	}
	p.literal("every")
	a.every = p.span("how long a turn takes", 200*time.Millisecond, time.Minute)
	p.literal("for")
	a.lasts = p.span("how long the stick goes round", 100*time.Millisecond, time.Hour)
	return a
}

func (p *parser) pause() action {
	a := pauseSticks{channels: p.handChannels("for")}
	p.literal("for")
	a.lasts = p.span("how long the hand pauses", 100*time.Millisecond, time.Hour)
	return a
}

// handChannels are channels that hands move, up to a word.
func (p *parser) handChannels(until string) []int {
	list := []int{p.handChannel()}
	for p.more() && p.words[0] != until {
		list = append(list, p.handChannel())
	}
	return list
}

func (p *parser) rate() action {
	a := setRate{channels: p.handChannels("at")}
	p.literal("at")
	a.share = int64(p.share("the share of the travel", 0.1, 1) * float64(million))
	return a
}

func (p *parser) trim() action {
	a := setTrim{channel: p.handChannel()}
	a.by = p.whole("how far the trim is off its centre in us", -300, 300) * us
	return a
}

func (p *parser) mute() action {
	tap := p.tapName()
	p.literal("for")
	return mute{tap: tap, lasts: p.span("how long no frame is sent", time.Millisecond, time.Hour)}
}

func (p *parser) stall() action {
	p.literal("for")
	return stall{lasts: p.span("how long the computer does not read", time.Millisecond, time.Hour)}
}

func (p *parser) garble() action {
	a := garbleFrames{tap: p.tapName(), plan: garblePlan{counts: map[int]uint16{}, flags: -1}}
	a.plan.frames = int(p.whole("the frames that are wrong", 1, 1000))
	p.literal("frames")
	p.oneOrMore(func() {
		if p.more() && p.words[0] == "flags" {
			p.word("")
			a.plan.flags = int(flagSets[p.oneOf(flagWords...)])
			return
		}
		c := p.channelName()
		width := p.width("what it carries")
		if p.mistake == nil {
			a.plan.counts[p.script.channels[c].number] = p.script.count(width)
		}
	})
	return a
}

// alwaysFlags reads the flags that a receiver sets in every frame.
func (p *parser) alwaysFlags(t *tapPlan) { t.always = flagSets[p.oneOf(flagWords...)] }
