package world

import "strings"

// axisStick reads which stick commands an axis.
func (p *parser) axisStick() {
	a := axis(p.oneOf(axisWords...))
	stick := stickPlan{known: true, way: 1}
	c := p.handChannel()
	if p.mistake == nil {
		stick.number = p.script.channels[c].number
	}
	p.literal(endWords[a])
	width := p.width("where that end is")
	switch {
	case p.mistake != nil:
	case width == neutralWidth:
		p.refuse("an end at 1500 us", "the width of an end of the stick")
	case width < neutralWidth:
		stick.way = -1
	}
	p.script.gyro.sticks[a] = stick
}

// gyro reads a cell of a mode, or where the gain comes from.
func (p *parser) gyro() {
	word := p.oneOf(append(gyroWords[:len(gyroWords):len(gyroWords)], "gain")...)
	if word == len(gyroWords) {
		p.gyroGain()
		return
	}
	cell := gyroCell{mode: gyroMode(word)}
	p.literal("when")
	p.oneOrMore(func() { cell.windows = append(cell.windows, p.window()) })
	p.script.gyro.cells = append(p.script.gyro.cells, cell)
}

// window may reach beyond what the bus carries.
func (p *parser) window() window {
	w := window{number: p.channelNumber()}
	w.low, w.high = p.whole("the lower end in us", 0, widest)*us, p.whole("the upper end in us", 0, widest)*us
	if p.mistake == nil && w.low >= w.high {
		p.refuse("a window without anything in it", "its lower end first")
	}
	return w
}

func (p *parser) gyroGain() {
	if p.more() && strings.HasSuffix(p.words[0], "%") {
		p.script.gyro.gain = gainPlan{number: -1, fixed: p.faultShare("the gain", 0)}
		return
	}
	plan := gainPlan{number: p.channelNumber()}
	p.literal("none")
	plan.none = p.width("where there is no gain")
	p.literal("full")
	p.oneOrMore(func() {
		full := p.width("where the gain is full")
		if p.mistake == nil && full == plan.none {
			p.refuse("a full gain where there is none", "another width")
		}
		plan.full = append(plan.full, full)
	})
	p.script.gyro.gain = plan
}
