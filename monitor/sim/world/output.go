package world

import "math/rand/v2"

// servosPlan is how a receiver sends its servo pulses.
type servosPlan struct {
	together bool   // all outputs rise at once, else one after the other
	delay    spread // ns from looking at what was heard to the pulse
	steps    int64  // ns: widths are whole numbers of them
	jitter   int64  // ns that a width strays, at most
}

// output sends the pulses of one output: at each of its slots it looks at what
// the receiver was sent, and some time later the pulse comes.
type output struct {
	script *Script
	plan   *outputPlan
	servos *servosPlan
	rx     *receiver
	gyro   *gyro
	rng    *rand.Rand
	to     *trail
	delay  int64
	next   int64 // slot
	pace   int64 // from slot to slot
	last   int64 // width
}

func (o *output) due() int64 { return within(o.script, o.next) }

func (o *output) act() {
	now := o.next
	o.next += o.pace
	if width, sends := o.width(now); sends {
		rise := now + o.delay
		o.to.put(Pulse{Output: o.plan.number + 1, Rise: rise, Width: o.grainy(width)})
	}
}

// width is that of the pulse of a slot, and false for none.
func (o *output) width(now int64) (int64, bool) {
	p := o.plan
	switch {
	case p.dead, p.pause.holds(now), !o.rx.awake(now):
		return 0, false
	case p.stuck > 0:
		return p.stuck, true
	case p.loss == leadStops && o.rx.failsafe:
		return 0, false
	case p.loss == leadHolds && o.rx.failsafe && o.rx.linked:
		return o.last, true
	case o.rx.silent(now):
		return 0, false
	}
	counts := o.rx.valuesUsed(now)
	o.last = p.mixed(o.script, &counts, &o.gyro.answer)
	return o.last, true
}

// grainy is a width as a receiver's timer makes it.
func (o *output) grainy(width int64) int64 {
	if j := o.servos.jitter; j > 0 {
		width += o.rng.Int64N(2*j+1) - j
	}
	return (width + o.servos.steps/2) / o.servos.steps * o.servos.steps
}
