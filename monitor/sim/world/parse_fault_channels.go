package world

func (p *parser) swap() newFault {
	a, b := p.twoChannels()
	return always(swap{a, b})
}

func (p *parser) mix() newFault {
	a, b := p.twoChannels()
	return always(mix{from: a, to: b, share: p.faultShare("the share that is added", -2)})
}

func (p *parser) twoChannels() (a, b int) {
	a, b = p.channelName(), p.channelName()
	if p.mistake == nil && a == b {
		p.refuse("the same channel twice", "two channels")
	}
	return a, b
}

func (p *parser) memory() newFault {
	f := memory{}
	for p.more() {
		c := p.channelName()
		f[c] = p.width("where the channel stands")
	}
	return always(f)
}
