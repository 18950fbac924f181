package world

import (
	"math/rand/v2"
	"time"
)

// ServosPlan is how a receiver sends its servo pulses.
type ServosPlan struct {
	Together bool   // all outputs rise at once, else one after the other
	Delay    Spread // ns from looking at what was heard to the pulse
	Steps    int64  // ns: widths are whole numbers of them
	Jitter   int64  // ns that a width strays, at most
}

// NewServosPlan is how many receivers send their pulses (the figures are assumptions).
func NewServosPlan() ServosPlan {
	return ServosPlan{Delay: Spread{int64(3 * time.Millisecond), int64(8 * time.Millisecond)}, Steps: us / 2, Jitter: us * 2 / 5}
}

// output sends the pulses of one output: at each of its slots it looks at what
// the receiver was sent, and some time later the pulse comes.
type output struct {
	bench  *Plan
	plan   *OutputPlan
	servos *ServosPlan
	rx     *receiver
	gyro   *gyro

	learner *learner

	rng   *rand.Rand
	to    *trail
	delay int64
	next  int64 // slot
	pace  int64 // from slot to slot
	last  int64 // width
}

func (o *output) due() int64 { return within(o.bench, o.next) }

func (o *output) act() {
	now := o.next
	o.next += o.pace
	if width, sends := o.width(now); sends {
		rise := now + o.delay
		o.to.put(Pulse{Output: o.plan.Number + 1, Rise: rise, Width: o.grainy(width)})
	}
}

// width is that of the pulse of a slot, and false for none.
func (o *output) width(now int64) (int64, bool) {
	p := o.plan
	switch {
	case p.Dead, p.Pause.holds(now), !o.rx.awake(now):
		return 0, false
	case p.Stuck > 0:
		return p.Stuck, true
	case p.Loss == LeadStops && o.rx.failsafe:
		return 0, false
	case p.Loss == LeadHolds && o.rx.failsafe && o.rx.linked:
		return o.last, true
	case o.rx.silent(now):
		return 0, false
	}
	counts := o.rx.valuesUsed(now)
	o.last = o.learner.limited(p, now, p.mixed(o.bench, &counts, &o.gyro.answer, o.gyro.mode))
	return o.last, true
}

// grainy is a width as a receiver's timer makes it.
func (o *output) grainy(width int64) int64 {
	if j := o.servos.Jitter; j > 0 {
		width += o.rng.Int64N(2*j+1) - j
	}
	return (width + o.servos.Steps/2) / o.servos.Steps * o.servos.Steps
}
