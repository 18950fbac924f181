package script

import (
	"strconv"
	"time"

	"benchproof.example/monitor/sim/world"
)

func (p *parser) packets() {
	p.literal("every")
	p.script.PacketEvery = p.span("the pace of the link", time.Millisecond, time.Second)
}

func (p *parser) hands() {
	p.oneOrMore(func() {
		switch p.oneOf("steady", "varied") {
		case 0:
			p.script.Hands.Steady = true
		case 1:
			p.script.Hands.Varied = true
		}
	})
}

func (p *parser) cutoff() {
	c := p.handChannel()
	width := p.width("where the cut holds it")
	if p.script.Cutoff != nil {
		p.refuse("a second cutoff", "one throttle cut")
	}
	p.script.Cutoff = &world.CutoffPlan{Channel: c, Width: width}
}

// gate reads a round gate.
func (p *parser) gate() {
	p.literal("round")
	g := world.GatePlan{Across: p.handChannel(), Along: p.handChannel()}
	if p.mistake == nil && g.Across == g.Along {
		p.refuse("the same channel twice", "the two channels of a stick")
	}
	p.script.Gates = append(p.script.Gates, g)
}

// phase reads a flight phase.
func (p *parser) phase() {
	c := p.switchChannel()
	if p.mistake != nil {
		return
	}
	plan := &p.script.Channels[c]
	f := world.PhasePlan{At: world.Standing{Channel: c, Place: plan.Places[p.placeOf(c)].Name}, Adds: map[int]int64{}}
	p.oneOrMore(func() {
		other := p.channelName()
		if _, twice := f.Adds[other]; p.mistake == nil && (twice || other == c) {
			p.refuse(strconv.Quote(p.script.Channels[other].Name)+" again", "each other channel once")
		}
		f.Adds[other] = p.whole("what is added in us", -1000, 1000) * us
	})
	p.script.Phases = append(p.script.Phases, f)
}

// tremble reads a control that flickers.
func (p *parser) tremble() {
	c := p.handChannel()
	p.literal("every")
	every := p.spans("the time between two flickers", 20*time.Millisecond, time.Hour)
	p.script.Trembles = append(p.script.Trembles, world.TremblePlan{Channel: c, Every: every})
}

// warns reads what must be home before the transmitter sends.
func (p *parser) warns() {
	p.oneOrMore(func() {
		c := p.channelName()
		if p.mistake == nil && p.script.Channels[c].Heartbeat != nil {
			p.refuse("the heartbeat "+p.script.Channels[c].Name, "a channel that a hand moves")
		}
		p.script.Warns = append(p.script.Warns, c)
	})
}

// second reads the second transmitter.
func (p *parser) second() {
	plan := world.SecondPlan{Kind: world.SecondKind(p.oneOf(secondWords...))}
	if p.more() {
		p.literal("gap")
		plan.Gap = p.spans("the gap before it is heard", time.Millisecond, time.Minute)
	}
	if p.script.Second != nil {
		p.refuse("a second transmitter again", "one second transmitter")
	}
	p.script.Second = &plan
}
