package world

import (
	"strconv"
	"time"
)

func commonServos() servosPlan {
	return servosPlan{delay: spread{int64(3 * time.Millisecond), int64(8 * time.Millisecond)}, steps: us / 2, jitter: us * 2 / 5}
}

// servos reads how the receiver sends its pulses.
func (p *parser) servos() {
	s := commonServos()
	p.options([]string{"together", "delay", "steps", "jitter"}, func(option string) {
		switch option {
		case "together":
			s.together = true
		case "delay":
			s.delay = p.spans("the time to the pulse", 0, time.Second)
		case "steps":
			s.steps = p.span("the steps of widths", 100*time.Nanosecond, 10*time.Microsecond)
		case "jitter":
			s.jitter = p.span("how far a width strays", 0, 100*time.Microsecond)
		}
	})
	p.script.servos = s
}

// output reads one output and what moves it.
func (p *parser) output() {
	p.boarded("an output")
	o := outputPlan{
		number: int(p.whole("the output's number", 1, mostInputs)) - 1, line: p.number, neutral: neutralWidth,
		low: 950 * us, high: 2050 * us, every: int64(20 * time.Millisecond), answers: [axes]int64{million, million, million},
	}
	for i := range p.script.outputs {
		if other := &p.script.outputs[i]; p.mistake == nil && other.number == o.number {
			p.refuse("output "+strconv.Itoa(o.number+1)+" again", "each output once; line "+strconv.Itoa(other.line)+" has it")
		}
	}
	p.literal("by")
	p.weights(&o)
	p.options(outputWords, func(word string) { p.outputOption(&o, word) })
	if p.mistake == nil && !(o.low <= o.neutral && o.neutral <= o.high) {
		p.refuse("a neutral outside the limits", "lower limit, neutral and upper limit in rising order")
	}
	p.script.outputs = append(p.script.outputs, o)
}

var outputWords = []string{"corrects", "neutral", "limits", "every", "loss"}

// weights reads what moves an output, at least one channel.
func (p *parser) weights(o *outputPlan) {
	for first := true; p.mistake == nil && (first || p.more() && !p.at(outputWords)); first = false {
		number := p.channelNumber()
		if p.mistake == nil && o.weights[number] != 0 {
			p.refuse("the same channel twice", "each channel once")
		}
		o.weights[number] = p.faultShare("how much of the channel's way moves it", -2)
		if p.mistake == nil && o.weights[number] == 0 {
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
	return p.script.channels[c].number
}

func (p *parser) outputOption(o *outputPlan, word string) {
	switch word {
	case "corrects":
		for first := true; p.mistake == nil && (first || p.at(axisWords)); first = false {
			p.corrects(o)
		}
	case "neutral":
		o.neutral = p.pulseWidth("its neutral")
	case "limits":
		o.low, o.high = p.pulseWidth("the lower limit"), p.pulseWidth("the upper limit")
	case "every":
		o.every = p.span("the time from pulse to pulse", 3*time.Millisecond, time.Second)
	case "loss":
		o.loss = leadLoss(p.oneOf(leadLossWords...))
	}
}

// corrects reads one axis whose stick must be in the output's mix, since the
// answer goes the same way.
func (p *parser) corrects(o *outputPlan) {
	a := axis(p.oneOf(axisWords...))
	stick := &p.script.gyro.sticks[a]
	switch {
	case p.mistake != nil:
	case !stick.known:
		p.refuse("corrects "+axisWords[a], "the axis and its stick first, such as \"axis "+axisWords[a]+" CHANNEL "+endWords[a]+" WIDTH\"")
	case o.weights[stick.number] == 0:
		p.refuse("corrects "+axisWords[a]+" by an output that its stick does not move", "an output moved by that stick")
	}
	o.corrects[a] = true
}

// pulseWidth is the width of a servo pulse, ns.
func (p *parser) pulseWidth(what string) int64 { return p.whole(what+" in us", 500, 2500) * us }
