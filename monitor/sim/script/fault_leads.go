package script

import (
	"strconv"
	"time"

	"benchproof.example/monitor/sim/world"
)

// correctionFault leaves a part of the answers of one axis or all, at one output
// or all.
func (p *parser) correctionFault() world.Fault {
	p.answered()
	which := p.oneOf(append([]string{"all"}, axisWords...)...)
	share := p.faultShare("what is left of the answer", -2)
	only := -1
	if p.more() {
		p.literal("at")
		only = p.outputName()
	}
	for i := range p.script.Outputs {
		for a := range world.Axes {
			if (only < 0 || only == i) && (which == 0 || int(a) == which-1) {
				p.script.Outputs[i].Answers[a] = share
			}
		}
	}
	return nil
}

// answered wants an output that the stabiliser moves.
func (p *parser) answered() {
	for i := range p.script.Outputs {
		if p.script.Outputs[i].Corrects != [world.Axes]bool{} {
			return
		}
	}
	if p.mistake == nil {
		p.refuse("a fault of the stabiliser", "an output that corrects an axis above")
	}
}

// outputName is the index of an output declared above, or 0 after refusing.
func (p *parser) outputName() int {
	names := make([]string, len(p.script.Outputs))
	for i := range names {
		names[i] = strconv.Itoa(p.script.Outputs[i].Number + 1)
	}
	return p.known("an output", names)
}

// atOutput reads the number of an output and bends its plan.
func (p *parser) atOutput(bend func(*world.OutputPlan)) world.Fault {
	if i := p.outputName(); p.mistake == nil {
		bend(&p.script.Outputs[i])
	}
	return nil
}

func (p *parser) servoFault() world.Fault {
	return p.atOutput(func(o *world.OutputPlan) { o.Mirrored = true })
}

func (p *parser) blendFault() world.Fault {
	return p.atOutput(func(o *world.OutputPlan) {
		number := p.channelNumber()
		o.Weights[number] = p.faultShare("how much of the channel's way moves it", -2)
	})
}

func (p *parser) limitsFault() world.Fault {
	return p.atOutput(func(o *world.OutputPlan) {
		o.Low, o.High = p.pulseWidth("the lower limit"), p.pulseWidth("the upper limit")
		if p.mistake == nil && o.Low >= o.High {
			p.refuse("limits that do not rise", "the lower limit first")
		}
	})
}

// shiftFault has an output rest elsewhere in a mode of the stabiliser.
func (p *parser) shiftFault() world.Fault {
	return p.atOutput(func(o *world.OutputPlan) {
		mode := world.GyroMode(p.oneOf(gyroWords...))
		o.Shift[mode] = p.whole("how far it rests elsewhere in us", -200, 200) * us
	})
}

func (p *parser) deadFault() world.Fault {
	return p.atOutput(func(o *world.OutputPlan) {
		if o.Dead = !p.more(); !o.Dead {
			o.Stuck = p.pulseWidth("where it stands")
		}
	})
}

func (p *parser) lossFault() world.Fault {
	return p.atOutput(func(o *world.OutputPlan) { o.Loss = world.LeadLoss(p.oneOf(leadLossWords...)) })
}

func (p *parser) pauseFault() world.Fault {
	return p.atOutput(func(o *world.OutputPlan) {
		p.literal("every")
		o.Pause.Every = p.span("the time from silence to silence", time.Second, world.Latest)
		p.literal("for")
		o.Pause.Lasts = p.span("how long it is silent", 10*time.Millisecond, time.Hour)
	})
}

// gainFault has an axis swing where the stabiliser answers.
func (p *parser) gainFault() world.Fault {
	p.answered()
	a := p.oneOf(axisWords...)
	swing := world.OscillationPlan{Amplitude: p.whole("how far it swings in us", 1, 400) * us}
	p.literal("every")
	swing.Period = p.span("the time of one swing", 50*time.Millisecond, 10*time.Second)
	if p.more() {
		p.literal("above")
		swing.Above = p.faultShare("the gain above which it swings", 0)
	}
	p.script.Gyro.Oscillations[a] = swing
	return nil
}
