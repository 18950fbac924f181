package script

import (
	"strings"

	"benchproof.example/monitor/sim/world"
)

// axisStick reads which stick commands an axis.
func (p *parser) axisStick() {
	a := world.Axis(p.oneOf(axisWords...))
	stick := world.StickPlan{Known: true, Way: 1}
	c := p.handChannel()
	if p.mistake == nil {
		stick.Number = p.script.Channels[c].Number
	}
	p.literal(a.End())
	width := p.width("where that end is")
	switch {
	case p.mistake != nil:
	case width == world.NeutralWidth:
		p.refuse("an end at 1500 us", "the width of an end of the stick")
	case width < world.NeutralWidth:
		stick.Way = -1
	}
	p.script.Gyro.Sticks[a] = stick
}

// gyro reads a cell of a mode, or where the gain comes from.
func (p *parser) gyro() {
	word := p.oneOf(append(gyroWords[:len(gyroWords):len(gyroWords)], "gain", "lies", "dead", "creep", "keeps")...)
	switch word - len(gyroWords) {
	case 0:
		p.gyroGain()
		return
	case 1:
		a := p.oneOf(axisWords...)
		p.script.Gyro.Level[a] = p.whole("millidegrees of its level", -30_000, 30_000)
		return
	case 2:
		p.script.Gyro.Dead = p.whole("millidegrees of its dead band to either side", 0, 10_000)
		return
	case 3:
		p.script.Gyro.Creep = p.whole("ns for each second and degree", 0, 5_000)
		return
	case 4:
		p.script.Gyro.Keeps = p.whole("us beyond its windows for which a mode is kept", 0, 200) * us
		return
	}
	cell := world.GyroCell{Mode: world.GyroMode(word)}
	p.literal("when")
	p.oneOrMore(func() { cell.Windows = append(cell.Windows, p.window()) })
	p.script.Gyro.Cells = append(p.script.Gyro.Cells, cell)
}

// window may reach beyond what the bus carries.
func (p *parser) window() world.Window {
	w := world.Window{Number: p.channelNumber()}
	w.Low, w.High = p.whole("the lower end in us", 0, widest)*us, p.whole("the upper end in us", 0, widest)*us
	if p.mistake == nil && w.Low >= w.High {
		p.refuse("a window without anything in it", "its lower end first")
	}
	return w
}

func (p *parser) gyroGain() {
	if p.more() && strings.HasSuffix(p.words[0], "%") {
		p.script.Gyro.Gain = world.GainPlan{Number: -1, Fixed: p.faultShare("the gain", 0)}
		return
	}
	plan := world.GainPlan{Number: p.channelNumber()}
	p.literal("none")
	plan.None = p.width("where there is no gain")
	p.literal("full")
	p.oneOrMore(func() {
		full := p.width("where the gain is full")
		if p.mistake == nil && full == plan.None {
			p.refuse("a full gain where there is none", "another width")
		}
		plan.Full = append(plan.Full, full)
	})
	p.script.Gyro.Gain = plan
}
