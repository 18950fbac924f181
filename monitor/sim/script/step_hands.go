package script

import (
	"strconv"
	"time"

	"benchproof.example/monitor/sim/world"
)

func (p *parser) stick() world.Action {
	c := p.handChannel()
	to := p.within(c, "where the hand goes")
	p.literal("over")
	over := p.span("how long the hand takes", 10*time.Millisecond, time.Hour)
	return world.MoveStick{Channel: c, To: to, Over: over}
}

func (p *parser) wiggle() world.Action {
	s := world.StirSticks{Channels: p.handChannels("for")}
	p.literal("for")
	s.Lasts = p.span("how long the hand stirs", 100*time.Millisecond, world.Latest)
	return s
}

func (p *parser) release() world.Action {
	var r world.ReleaseSticks
	p.oneOrMore(func() {
		c := p.handChannel()
		if p.mistake != nil {
			return
		}
		if plan := &p.script.Channels[c]; plan.AtStop(plan.Start) {
			p.refuse(strconv.Quote(plan.Name), "a channel that starts between its stops: no spring brings this one back")
		}
		r.Channels = append(r.Channels, c)
	})
	return r
}

func (p *parser) press() world.Action {
	c := p.channelName()
	if p.mistake == nil && p.script.Channels[c].Declared() != 2 {
		p.refuse(strconv.Quote(p.script.Channels[c].Name), "a switch with two places")
	}
	p.literal("for")
	return world.PressLever{Channel: c, Lasts: p.span("how long it is pressed", time.Millisecond, time.Hour)}
}

func (p *parser) cut() world.Action {
	on := p.oneOf("on", "off") == 0
	if p.mistake == nil && p.script.Cutoff == nil {
		p.refuse("a cut", `a setting such as "cutoff throttle 988" first`)
	}
	return world.SetCut{On: on}
}

func (p *parser) slam() world.Action {
	var a world.SlamSticks
	for first := true; p.mistake == nil && (first || p.more() && p.words[0] != "over"); first = false {
		c := p.handChannel()
		a.Channels = append(a.Channels, c)
		a.To = append(a.To, p.within(c, "where the stick is thrown"))
	}
	p.literal("over")
	a.Over = p.span("how long the hand takes", 10*time.Millisecond, time.Minute)
	if p.more() {
		p.literal("for")
		a.Lasts = p.span("how long it is held there", time.Millisecond, time.Hour)
	}
	return a
}

func (p *parser) circle() world.Action {
	a := world.CircleSticks{Channels: []int{p.handChannel(), p.handChannel()}}
	if p.more() && p.words[0] != "every" {
		a.Channels = append(a.Channels, p.handChannel(), p.handChannel())
	}
	p.literal("every")
	a.Every = p.span("how long a turn takes", 200*time.Millisecond, time.Minute)
	p.literal("for")
	a.Lasts = p.span("how long the stick goes round", 100*time.Millisecond, time.Hour)
	return a
}

func (p *parser) pause() world.Action {
	a := world.PauseSticks{Channels: p.handChannels("for")}
	p.literal("for")
	a.Lasts = p.span("how long the hand pauses", 100*time.Millisecond, time.Hour)
	return a
}

func (p *parser) rate() world.Action {
	a := world.SetRate{Channels: p.handChannels("at")}
	p.literal("at")
	a.Share = int64(p.share("the share of the travel", 0.1, 1) * float64(million))
	return a
}

func (p *parser) trim() world.Action {
	a := world.SetTrim{Channel: p.handChannel()}
	a.By = p.whole("how far the trim is off its centre in us", -300, 300) * us
	return a
}

// tilt reads how the model is tilted.
func (p *parser) twist() world.Action {
	a := world.TurnPhone{To: p.whole("how far in degrees", -360, 360) * 1000}
	if p.mistake == nil && p.script.Phone == nil {
		p.refuse("a twist", `a phone first, such as "phone NAME"`)
	}
	p.literal("over")
	a.Over = p.span("how long the hands take", 10*time.Millisecond, time.Minute)
	return a
}

func (p *parser) tilt() world.Action {
	p.boarded("a tilt")
	a := world.TiltModel{About: world.Axis(p.oneOf(axisWords...))}
	a.To = p.whole("how far in degrees", -90, 90) * 1000
	p.literal("over")
	a.Over = p.span("how long the hands take", 10*time.Millisecond, time.Minute)
	return a
}
