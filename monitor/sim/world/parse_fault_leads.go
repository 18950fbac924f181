package world

import (
	"strconv"
	"time"
)

// correctionFault leaves a part of the answers of one axis or all, at one output
// or all.
func (p *parser) correctionFault() newFault {
	p.answered()
	which := p.oneOf(append([]string{"all"}, axisWords...)...)
	share := p.faultShare("what is left of the answer", -2)
	only := -1
	if p.more() {
		p.literal("at")
		only = p.outputName()
	}
	for i := range p.script.outputs {
		for a := range axes {
			if (only < 0 || only == i) && (which == 0 || int(a) == which-1) {
				p.script.outputs[i].answers[a] = share
			}
		}
	}
	return nil
}

// answered wants an output that the stabiliser moves.
func (p *parser) answered() {
	for i := range p.script.outputs {
		if p.script.outputs[i].corrects != [axes]bool{} {
			return
		}
	}
	if p.mistake == nil {
		p.refuse("a fault of the stabiliser", "an output that corrects an axis above")
	}
}

// outputName is the index of an output declared above, or 0 after refusing.
func (p *parser) outputName() int {
	names := make([]string, len(p.script.outputs))
	for i := range names {
		names[i] = strconv.Itoa(p.script.outputs[i].number + 1)
	}
	return p.known("an output", names)
}

// atOutput reads the number of an output and bends its plan.
func (p *parser) atOutput(bend func(*outputPlan)) newFault {
	if i := p.outputName(); p.mistake == nil {
		bend(&p.script.outputs[i])
	}
	return nil
}

func (p *parser) servoFault() newFault {
	return p.atOutput(func(o *outputPlan) { o.mirrored = true })
}

func (p *parser) blendFault() newFault {
	return p.atOutput(func(o *outputPlan) {
		number := p.channelNumber()
		o.weights[number] = p.faultShare("how much of the channel's way moves it", -2)
	})
}

func (p *parser) limitsFault() newFault {
	return p.atOutput(func(o *outputPlan) {
		o.low, o.high = p.pulseWidth("the lower limit"), p.pulseWidth("the upper limit")
		if p.mistake == nil && o.low >= o.high {
			p.refuse("limits that do not rise", "the lower limit first")
		}
	})
}

func (p *parser) deadFault() newFault {
	return p.atOutput(func(o *outputPlan) {
		if o.dead = !p.more(); !o.dead {
			o.stuck = p.pulseWidth("where it stands")
		}
	})
}

func (p *parser) lossFault() newFault {
	return p.atOutput(func(o *outputPlan) { o.loss = leadLoss(p.oneOf(leadLossWords...)) })
}

func (p *parser) pauseFault() newFault {
	return p.atOutput(func(o *outputPlan) {
		p.literal("every")
		o.pause.every = p.span("the time from silence to silence", time.Second, longest)
		p.literal("for")
		o.pause.lasts = p.span("how long it is silent", 10*time.Millisecond, time.Hour)
	})
}

// gainFault has an axis swing where the stabiliser answers.
func (p *parser) gainFault() newFault {
	p.answered()
	a := p.oneOf(axisWords...)
	swing := oscillationPlan{amplitude: p.whole("how far it swings in us", 1, 400) * us}
	p.literal("every")
	swing.period = p.span("the time of one swing", 50*time.Millisecond, 10*time.Second)
	p.script.gyro.oscillations[a] = swing
	return nil
}
