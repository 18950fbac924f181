package script

import (
	"time"

	"benchproof.example/monitor/sim/world"
)

func (p *parser) signal() world.Action {
	on := p.oneOf("on", "off") == 0
	if p.more() {
		return world.LetSignal{Receiver: p.tapName(), On: on}
	}
	return world.SwitchTransmitter{On: on}
}

func (p *parser) supply() world.Action {
	tap := p.tapName()
	return world.SwitchReceiver{Receiver: tap, On: p.oneOf("on", "off") == 0}
}

func (p *parser) hiccup() world.Action {
	tap := p.tapName()
	p.literal("for")
	lasts := p.span("how long the receiver is at its presets", time.Millisecond, time.Hour)
	if p.mistake != nil {
		return nil
	}
	if t := &p.script.Receivers[tap]; t.OnLoss != world.LossPreset {
		p.refuse("a hiccup of a receiver that is "+t.OnLoss.String(), "a receiver that is preset: others have nothing to jump to")
	}
	return world.HiccupReceiver{Receiver: tap, Lasts: lasts}
}

func (p *parser) mute() world.Action {
	tap := p.tapName()
	p.literal("for")
	return world.MuteReceiver{Receiver: tap, Lasts: p.span("how long no frame is sent", time.Millisecond, time.Hour)}
}

func (p *parser) garble() world.Action {
	a := world.GarbleFrames{Receiver: p.tapName(), Plan: world.GarblePlan{Widths: map[int]int64{}}}
	a.Plan.Frames = int(p.whole("the frames that are wrong", 1, 1000))
	p.literal("frames")
	p.oneOrMore(func() {
		if p.more() && p.words[0] == "flags" {
			p.word("")
			a.Plan.Flags = &flagSets[p.oneOf(flagWords...)]
			return
		}
		c := p.channelName()
		width := p.width("what it carries")
		if p.mistake == nil {
			a.Plan.Widths[p.script.Channels[c].Number] = width
		}
	})
	return a
}

func (p *parser) stall() world.Action {
	p.literal("for")
	return world.StallComputer{Lasts: p.span("how long the computer does not read", time.Millisecond, time.Hour)}
}

func (p *parser) unplug() world.Action { return world.MovePlug{Tap: p.anyTap(), In: false} }
func (p *parser) plug() world.Action   { return world.MovePlug{Tap: p.anyTap(), In: true} }

func (p *parser) restart() world.Action {
	p.boarded("a restart")
	if p.mistake == nil {
		p.literal(p.script.Board.Name)
	}
	return world.RestartBoard{}
}

func (p *parser) end() world.Action {
	p.ended = true
	return nil
}
