package world

import "strconv"

func (p *parser) lands() newFault {
	return always(lands{at: p.standing(), width: p.width("where the place comes out")})
}

func (p *parser) combo() newFault {
	f := combo{at: [2]standing{p.standing(), p.standing()}}
	if p.mistake == nil && f.at[0].channel == f.at[1].channel {
		p.refuse("the same switch twice", "two switches")
	}
	p.literal("as")
	for i := range f.at {
		if p.mistake != nil {
			return nil
		}
		c := f.at[i].channel
		p.literal(p.script.channels[c].name)
		f.widths[i] = p.script.channels[c].places[p.placeOf(c)].width
	}
	return always(f)
}

// standing is a switch and one of its places.
func (p *parser) standing() standing {
	c := p.switchName()
	if p.mistake != nil {
		return standing{}
	}
	return standing{channel: c, place: p.script.channels[c].places[p.placeOf(c)].name}
}

// switchName is the index of a channel with places.
func (p *parser) switchName() int {
	c := p.channelName()
	if p.mistake == nil && len(p.script.channels[c].places) == 0 {
		p.refuse(strconv.Quote(p.script.channels[c].name), "a channel with places above")
	}
	return c
}

// extra gives a lever one more place: between the two whose widths enclose it,
// or else beyond the nearer end.
func (p *parser) extra() newFault {
	c := p.switchName()
	at := place{name: p.name("the place's name"), width: p.width("where the place lies"), extra: true}
	if p.mistake != nil {
		return nil
	}
	plan := &p.script.channels[c]
	if plan.placeNamed(at.name) >= 0 {
		p.refuse(strconv.Quote(at.name)+" again", "each place of "+plan.name+" once")
		return nil
	}
	plan.insert(at)
	return nil
}
