package script

import (
	"math"

	"benchproof.example/monitor/sim/world"
)

// rising is two widths, the lower one first.
func (p *parser) rising() (low, high int64) {
	low, high = p.width("the lower end"), p.width("the upper end")
	if p.mistake == nil && low >= high {
		p.refuse("ends that do not rise", `the lower end first; for a single width use "fault stuck"`)
	}
	return low, high
}

func (p *parser) rangeFault() world.Fault {
	c := p.channelName()
	low, high := p.rising()
	if p.checkTravel(c); p.mistake != nil {
		return nil
	}
	plan := &p.script.Channels[c]
	return world.LineFault{Channel: c, From: [2]int64{plan.Low, plan.High}, To: [2]int64{low, high}}
}

// byMillion is a straight line through what comes out at 1500 µs, with a slope
// in parts of a million.
func byMillion(channel int, neutral, slope int64) world.LineFault {
	return world.LineFault{Channel: channel, From: [2]int64{world.NeutralWidth, world.NeutralWidth + million}, To: [2]int64{neutral, neutral + slope}}
}

func (p *parser) stuck() world.Fault {
	c := p.channelName()
	return byMillion(c, p.width("where the channel stands"), 0)
}

func (p *parser) offset() world.Fault {
	c := p.channelName()
	return byMillion(c, world.NeutralWidth+p.whole("what is added in us", -1000, 1000)*us, million)
}

func (p *parser) clip() world.Fault {
	f := world.ClipFault{Channel: p.channelName()}
	f.Low, f.High = p.rising()
	return f
}

// share of a fault is in parts of a million, so that the same comes out on every
// machine.
func (p *parser) faultShare(what string, low float64) int64 {
	return int64(math.Round(p.share(what, low, 2) * million))
}

func (p *parser) scaleFault() world.Fault {
	c := p.channelName()
	return byMillion(c, world.NeutralWidth, p.faultShare("the share of the travel", 0))
}

func (p *parser) reverse() world.Fault {
	return byMillion(p.channelName(), world.NeutralWidth, -million)
}
