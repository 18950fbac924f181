package script

import "time"

func (p *parser) link() {
	tap := p.tapName()
	p.literal("loss")
	loss := p.share("the mean share of missed packets", 0, 0.99)
	p.literal("burst")
	burst := float64(p.whole("the mean length of a run of missed packets", 1, 10_000))
	if p.mistake != nil {
		return
	}
	// Every run of misses is followed by at least one packet that is heard.
	if loss > burst/(burst+1) {
		p.refuse("a loss that needs longer bursts", "a share of at most burst/(burst+1)")
	}
	p.script.Receivers[tap].Loss, p.script.Receivers[tap].Burst = loss, burst
}

func (p *parser) wire() {
	tap := p.tapName()
	if p.mistake != nil {
		return
	}
	t := &p.script.Receivers[tap]
	p.options([]string{"missing", "damage", "noise"}, func(option string) {
		switch option {
		case "missing":
			t.Missing = p.share("the share of frames never sent", 0, 1)
		case "damage":
			t.Damage = p.share("the share of characters hit", 0, 1)
		case "noise":
			t.Noise = float64(p.whole("stray characters a second", 0, 1000))
		}
	})
}

func (p *parser) adapter() {
	tap := p.anyTap()
	clump := int64(0)
	if p.oneOf("clump", "none") == 0 && p.mistake == nil {
		clump = p.span("the adapter's timer", 100*time.Microsecond, time.Second)
	}
	switch {
	case p.mistake != nil:
	case tap < len(p.script.Receivers):
		p.script.Receivers[tap].Clump = clump
	default:
		p.script.Board.Clump = clump
	}
}
