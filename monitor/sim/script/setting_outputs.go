package script

import (
	"strconv"
	"time"

	"benchproof.example/monitor/sim/world"
)

// servos reads how the receiver sends its pulses.
func (p *parser) servos() {
	s := world.NewServosPlan()
	p.options([]string{"together", "delay", "steps", "jitter"}, func(option string) {
		switch option {
		case "together":
			s.Together = true
		case "delay":
			s.Delay = p.spans("the time to the pulse", 0, time.Second)
		case "steps":
			s.Steps = p.span("the steps of widths", 100*time.Nanosecond, 10*time.Microsecond)
		case "jitter":
			s.Jitter = p.span("how far a width strays", 0, 100*time.Microsecond)
		}
	})
	p.script.Servos = s
}

// output reads one output and what moves it.
func (p *parser) output() {
	p.boarded("an output")
	o := world.NewOutputPlan(int(p.whole("the output's number", 1, mostInputs)) - 1)
	for i := range p.script.Outputs {
		if other := &p.script.Outputs[i]; p.mistake == nil && other.Number == o.Number {
			p.refuse("output "+strconv.Itoa(o.Number+1)+" again", "each output once; line "+strconv.Itoa(p.outputLines[i])+" has it")
		}
	}
	p.literal("by")
	p.weights(&o)
	p.options(outputWords, func(word string) { p.outputOption(&o, word) })
	if p.mistake == nil && !(o.Low <= o.Neutral && o.Neutral <= o.High) {
		p.refuse("a neutral outside the limits", "lower limit, neutral and upper limit in rising order")
	}
	p.script.Outputs, p.outputLines = append(p.script.Outputs, o), append(p.outputLines, p.number)
}

var outputWords = []string{"corrects", "neutral", "limits", "every", "loss"}

// weights reads what moves an output, at least one channel.
func (p *parser) weights(o *world.OutputPlan) {
	for first := true; p.mistake == nil && (first || p.more() && !p.at(outputWords)); first = false {
		number := p.channelNumber()
		if p.mistake == nil && o.Weights[number] != 0 {
			p.refuse("the same channel twice", "each channel once")
		}
		o.Weights[number] = p.faultShare("how much of the channel's way moves it", -2)
		if p.mistake == nil && o.Weights[number] == 0 {
			p.refuse("a weight of nothing", "a weight, or no such channel")
		}
	}
}

// at says whether the next word is one of a list.
func (p *parser) at(words []string) bool {
	for _, w := range words {
		if p.more() && p.words[0] == w {
			return true
		}
	}
	return false
}

// channelNumber is the number of a channel declared above, 0..15.
func (p *parser) channelNumber() int {
	c := p.channelName()
	if p.mistake != nil {
		return 0
	}
	return p.script.Channels[c].Number
}

func (p *parser) outputOption(o *world.OutputPlan, word string) {
	switch word {
	case "corrects":
		for first := true; p.mistake == nil && (first || p.at(axisWords)); first = false {
			p.corrects(o)
		}
	case "neutral":
		o.Neutral = p.pulseWidth("its neutral")
	case "limits":
		o.Low, o.High = p.pulseWidth("the lower limit"), p.pulseWidth("the upper limit")
	case "every":
		o.Every = p.span("the time from pulse to pulse", 3*time.Millisecond, time.Second)
	case "loss":
		o.Loss = world.LeadLoss(p.oneOf(leadLossWords...))
	}
}

// corrects reads one axis whose stick must be in the output's mix, since the
// answer goes the same way.
func (p *parser) corrects(o *world.OutputPlan) {
	a := world.Axis(p.oneOf(axisWords...))
	stick := &p.script.Gyro.Sticks[a]
	switch {
	case p.mistake != nil:
	case !stick.Known:
		p.refuse("corrects "+a.String(), "the axis and its stick first, such as \"axis "+a.String()+" CHANNEL "+a.End()+" WIDTH\"")
	case o.Weights[stick.Number] == 0:
		p.refuse("corrects "+a.String()+" by an output that its stick does not move", "an output moved by that stick")
	}
	o.Corrects[a] = true
}

// pulseWidth is the width of a servo pulse, ns.
func (p *parser) pulseWidth(what string) int64 { return p.whole(what+" in us", 500, 2500) * us }
