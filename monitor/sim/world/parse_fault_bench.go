package world

import "time"

func (p *parser) cutFault() newFault {
	p.literal("ignored")
	switch plan := p.script.cutoff; {
	case p.mistake != nil:
	case plan == nil:
		p.refuse("a cut", `a setting such as "cutoff throttle 988" first`)
	default:
		plan.ignored = true
	}
	return nil
}

func (p *parser) spike() newFault {
	c := p.channelName()
	plan := spikePlan{count: p.script.count(p.width("where it strikes to"))}
	p.literal("every")
	plan.every = p.span("the time from spike to spike", 100*time.Millisecond, longest)
	p.literal("for")
	plan.frames = int(p.whole("the frames of a spike", 1, 1000))
	p.literal("frames")
	if p.mistake != nil {
		return nil
	}
	plan.number = p.script.channels[c].number
	p.script.spikes = append(p.script.spikes, plan)
	return nil
}
