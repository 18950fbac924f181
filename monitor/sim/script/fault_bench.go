package script

import (
	"time"

	"benchproof.example/monitor/sim/world"
)

func (p *parser) cutFault() world.Fault {
	p.literal("ignored")
	switch plan := p.script.Cutoff; {
	case p.mistake != nil:
	case plan == nil:
		p.refuse("a cut", `a setting such as "cutoff throttle 988" first`)
	default:
		plan.Ignored = true
	}
	return nil
}

func (p *parser) spike() world.Fault {
	c := p.channelName()
	plan := world.SpikePlan{Width: p.width("where it strikes to")}
	p.literal("every")
	plan.Every = p.span("the time from spike to spike", 100*time.Millisecond, world.Latest)
	p.literal("for")
	plan.Frames = int(p.whole("the frames of a spike", 1, 1000))
	p.literal("frames")
	if p.mistake != nil {
		return nil
	}
	plan.Number = p.script.Channels[c].Number
	p.script.Spikes = append(p.script.Spikes, plan)
	return nil
}
