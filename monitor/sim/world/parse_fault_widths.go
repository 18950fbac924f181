package world

import "math"

// rising is two widths, the lower one first.
func (p *parser) rising() (low, high int64) {
	low, high = p.width("the lower end"), p.width("the upper end")
	if p.mistake == nil && low >= high {
		p.refuse("ends that do not rise", `the lower end first; for a single width use "fault stuck"`)
	}
	return low, high
}

func (p *parser) rangeFault() newFault {
	c := p.channelName()
	low, high := p.rising()
	if p.travel(c); p.mistake != nil {
		return nil
	}
	plan := &p.script.channels[c]
	return always(straight{channel: c, from: [2]int64{plan.low, plan.high}, to: [2]int64{low, high}})
}

// byMillion is a straight line through what comes out at 1500 µs, with a slope
// in parts of a million.
func byMillion(channel int, neutral, slope int64) straight {
	return straight{channel: channel, from: [2]int64{neutralWidth, neutralWidth + million}, to: [2]int64{neutral, neutral + slope}}
}

func (p *parser) stuck() newFault {
	c := p.channelName()
	return always(byMillion(c, p.width("where the channel stands"), 0))
}

func (p *parser) offset() newFault {
	c := p.channelName()
	return always(byMillion(c, neutralWidth+p.whole("what is added in us", -1000, 1000)*us, million))
}

func (p *parser) clip() newFault {
	f := clip{channel: p.channelName()}
	f.low, f.high = p.rising()
	return always(f)
}

// share of a fault is in parts of a million, so that the same comes out on every
// machine.
func (p *parser) faultShare(what string, low float64) int64 {
	return int64(math.Round(p.share(what, low, 2) * million))
}

func (p *parser) scaleFault() newFault {
	c := p.channelName()
	return always(byMillion(c, neutralWidth, p.faultShare("the share of the travel", 0)))
}

func (p *parser) reverse() newFault {
	return always(byMillion(p.channelName(), neutralWidth, -million))
}
