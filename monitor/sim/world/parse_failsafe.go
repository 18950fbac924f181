package world

import (
	"time"

	"benchproof.example/decode/scale"
)

func (p *parser) preset() {
	t := p.presetTap("a preset")
	channel := p.channelName()
	if p.mistake != nil {
		return
	}
	c := &p.script.channels[channel]
	if _, twice := t.presets[c.number]; twice {
		p.refuse("a second preset for "+c.name, "one preset a channel")
	}
	widths := p.positions(channel)
	if p.more() {
		p.literal("mirrored")
		widths = p.mirrored(widths)
	}
	t.presets[c.number] = p.script.countsOf(widths)
}

// mirrored is a preset that was taken before its channel was reversed.
func (p *parser) mirrored(widths spread) spread {
	m := widths.mirrored(neutralWidth)
	for _, w := range []int64{m.low, m.high} {
		if c := p.script.scale.Count(w); p.mistake == nil && (c < 0 || c > scale.MaxCount) {
			p.refuse("a mirrored preset that the scale can't carry", "a width whose mirror at 1500 us has a count in 0 to 2047")
		}
	}
	return m
}

// countsOf are the counts for a range of widths, whichever way the scale goes.
func (s *Script) countsOf(widths spread) spread {
	a, b := int64(s.count(widths.low)), int64(s.count(widths.high))
	return spread{min(a, b), max(a, b)}
}

// teach reads how a receiver comes by its presets.
func (p *parser) teach() {
	t := p.presetTap("teaching")
	p.literal("every")
	every := p.spans("the time from lesson to lesson", 100*time.Millisecond, time.Hour)
	if t != nil {
		t.teach = every
	}
}

// presetTap is a receiver that goes to presets, or nil after refusing what is
// meant for such.
func (p *parser) presetTap(found string) *tapPlan {
	tap := p.tapName()
	if p.mistake != nil {
		return nil
	}
	t := &p.script.taps[tap]
	if t.onLoss != onLossPreset {
		p.refuse(found+" for a receiver that is "+onLossWords[t.onLoss], "a receiver that is preset")
		return nil
	}
	return t
}

// stabiliser reads what moves a receiver's values before the tap.
func (p *parser) stabiliser() {
	tap := p.tapName()
	plan := stabiliserPlan{always: p.oneOf("always", "failsafe") == 0}
	for first := true; p.mistake == nil && (first || p.more() && p.words[0] != "within"); first = false {
		if c := p.channelName(); p.mistake == nil {
			plan.numbers = append(plan.numbers, p.script.channels[c].number)
		}
	}
	p.literal("within")
	width := p.whole("how far it moves them in us", 1, 500) * us
	if p.mistake != nil {
		return
	}
	if t := &p.script.taps[tap]; len(t.stabiliser.numbers) > 0 {
		p.refuse("a second stabiliser for "+t.name, "one stabiliser a receiver")
	}
	plan.within = max(width/p.script.scale.PerCount(), 1)
	p.script.taps[tap].stabiliser = plan
}

// warns reads what must be home before the transmitter sends.
func (p *parser) warns() {
	p.oneOrMore(func() {
		c := p.channelName()
		if p.mistake == nil && p.script.channels[c].beat != nil {
			p.refuse("the heartbeat "+p.script.channels[c].name, "a channel that a hand moves")
		}
		p.script.warns = append(p.script.warns, c)
	})
}

// second reads the second transmitter.
func (p *parser) second() {
	plan := secondPlan{kind: secondKind(p.oneOf(secondWords...))}
	if p.more() {
		p.literal("gap")
		plan.gap = p.spans("the gap before it is heard", time.Millisecond, time.Minute)
	}
	if p.script.second != nil {
		p.refuse("a second transmitter again", "one second transmitter")
	}
	p.script.second = &plan
}
