package script

import (
	"strconv"

	"benchproof.example/monitor/sim/world"
)

func (p *parser) lands() world.Fault {
	return world.LandsFault{At: p.standing(), Width: p.width("where the place comes out")}
}

func (p *parser) combo() world.Fault {
	f := world.ComboFault{At: [2]world.Standing{p.standing(), p.standing()}}
	if p.mistake == nil && f.At[0].Channel == f.At[1].Channel {
		p.refuse("the same switch twice", "two switches")
	}
	p.literal("as")
	for i := range f.At {
		if p.mistake != nil {
			return nil
		}
		c := f.At[i].Channel
		p.literal(p.script.Channels[c].Name)
		f.Widths[i] = p.script.Channels[c].Places[p.placeOf(c)].Width
	}
	return f
}

// standing is a switch and one of its places.
func (p *parser) standing() world.Standing {
	c := p.switchChannel()
	if p.mistake != nil {
		return world.Standing{}
	}
	return world.Standing{Channel: c, Place: p.script.Channels[c].Places[p.placeOf(c)].Name}
}

// extra gives a lever one more place: between the two whose widths enclose it,
// or else beyond the nearer end.
func (p *parser) extra() world.Fault {
	c := p.switchChannel()
	at := world.Place{Name: p.name("the place's name"), Width: p.width("where the place lies"), Extra: true}
	if p.mistake != nil {
		return nil
	}
	plan := &p.script.Channels[c]
	if plan.PlaceNamed(at.Name) >= 0 {
		p.refuse(strconv.Quote(at.Name)+" again", "each place of "+plan.Name+" once")
		return nil
	}
	plan.Insert(at)
	return nil
}
