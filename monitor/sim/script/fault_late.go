package script

import (
	"time"

	"benchproof.example/monitor/sim/world"
)

func (p *parser) slew() world.Fault {
	c := p.channelName()
	lasts := p.span("the time from stop to stop", time.Millisecond, time.Hour)
	p.checkTravel(c)
	return world.SlewFault{Channel: c, Lasts: lasts}
}

func (p *parser) lags() world.Fault {
	c := p.channelName()
	lasts := p.span("how late the channel follows", time.Millisecond, time.Minute)
	return world.LagFault{Channel: c, Lasts: lasts}
}

// checkTravel wants a channel that can move.
func (p *parser) checkTravel(c int) {
	if p.mistake != nil {
		return
	}
	plan := &p.script.Channels[c]
	if plan.Low == plan.High {
		p.refuse(plan.Name+" without any travel", "a channel whose stops differ")
	}
}
