package script

import (
	"time"

	"benchproof.example/monitor/sim/world"
)

func (p *parser) preset() {
	t := p.presetTap("a preset")
	channel := p.channelName()
	if p.mistake != nil {
		return
	}
	c := &p.script.Channels[channel]
	if _, twice := t.Presets[c.Number]; twice {
		p.refuse("a second preset for "+c.Name, "one preset a channel")
	}
	widths := p.positions(channel)
	if p.more() {
		p.literal("mirrored")
		widths = p.mirrored(widths)
	}
	t.Presets[c.Number] = widths
}

// mirrored is a preset that was taken before its channel was reversed.
func (p *parser) mirrored(widths world.Spread) world.Spread {
	m := widths.Mirrored(world.NeutralWidth)
	for _, w := range []int64{m.Low, m.High} {
		if c := p.script.Scale.Count(w); p.mistake == nil && (c < 0 || c > world.MaxCount) {
			p.refuse("a mirrored preset that the scale can't carry", "a width whose mirror at 1500 us has a count in 0 to 2047")
		}
	}
	return m
}

// teach reads how a receiver comes by its presets.
func (p *parser) teach() {
	t := p.presetTap("teaching")
	p.literal("every")
	every := p.spans("the time from lesson to lesson", 100*time.Millisecond, time.Hour)
	if t != nil {
		t.TeachEvery = every
	}
}

// presetTap is a receiver that goes to presets, or nil after refusing what is
// meant for such.
func (p *parser) presetTap(found string) *world.ReceiverPlan {
	tap := p.tapName()
	if p.mistake != nil {
		return nil
	}
	t := &p.script.Receivers[tap]
	if t.OnLoss != world.LossPreset {
		p.refuse(found+" for a receiver that is "+t.OnLoss.String(), "a receiver that is preset")
		return nil
	}
	return t
}

// stabiliser reads what moves a receiver's values before the tap.
func (p *parser) stabiliser() {
	tap := p.tapName()
	plan := world.StabiliserPlan{Always: p.oneOf("always", "failsafe") == 0}
	for first := true; p.mistake == nil && (first || p.more() && p.words[0] != "within"); first = false {
		if c := p.channelName(); p.mistake == nil {
			plan.Numbers = append(plan.Numbers, p.script.Channels[c].Number)
		}
	}
	p.literal("within")
	width := p.whole("how far it moves them in us", 1, 500) * us
	if p.mistake != nil {
		return
	}
	if t := &p.script.Receivers[tap]; len(t.Stabiliser.Numbers) > 0 {
		p.refuse("a second stabiliser for "+t.Name, "one stabiliser a receiver")
	}
	plan.Within = width
	p.script.Receivers[tap].Stabiliser = plan
}
