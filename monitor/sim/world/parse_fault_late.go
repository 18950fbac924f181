package world

import "time"

func (p *parser) slew() newFault {
	c := p.channelName()
	lasts := p.span("the time from stop to stop", time.Millisecond, time.Hour)
	travel := p.travel(c)
	return func() fault { return &slew{channel: c, travel: travel, lasts: lasts} }
}

func (p *parser) lags() newFault {
	c := p.channelName()
	lasts := p.span("how late the channel follows", time.Millisecond, time.Minute)
	return func() fault { return &lags{channel: c, lasts: lasts} }
}

// travel is from stop to stop of a channel that can move.
func (p *parser) travel(c int) int64 {
	if p.mistake != nil {
		return 0
	}
	plan := &p.script.channels[c]
	if plan.low == plan.high {
		p.refuse(plan.name+" without any travel", "a channel whose stops differ")
	}
	return plan.high - plan.low
}
