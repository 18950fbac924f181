package script

import "benchproof.example/monitor/sim/world"

func (p *parser) swap() world.Fault {
	a, b := p.twoChannels()
	return world.SwapFault{a, b}
}

func (p *parser) mix() world.Fault {
	a, b := p.twoChannels()
	return world.MixFault{From: a, To: b, Share: p.faultShare("the share that is added", -2)}
}

func (p *parser) twoChannels() (a, b int) {
	a, b = p.channelName(), p.channelName()
	if p.mistake == nil && a == b {
		p.refuse("the same channel twice", "two channels")
	}
	return a, b
}

func (p *parser) memory() world.Fault {
	f := world.MemoryFault{}
	for p.more() {
		c := p.channelName()
		f[c] = p.width("where the channel stands")
	}
	return f
}
