package world

import "math/rand/v2"

// link is the air between the transmitter and one receiver. Losses come in
// bursts: a two-state chain (Gilbert, The Bell System Technical Journal 39
// (1960) 1253, from memory) in whose bad state every packet is missed.
type link struct {
	plan     *ReceiverPlan
	rng      *rand.Rand
	truths   *truthLog
	receiver *receiver
	sender   presetSender
	bad      bool
	hushed   bool
	begun    bool  // a packet was heard since the signal came
	heardAt  int64 // the last one
}

func newLink(plan *ReceiverPlan, rng *rand.Rand, l *truthLog, r *receiver) *link {
	return &link{plan: plan, rng: rng, truths: l, receiver: r, sender: presetSender{every: r.timing.teach}, bad: rng.Float64() < plan.Loss}
}

// let takes the signal from this receiver alone, or gives it back.
func (l *link) let(now int64, through bool) {
	if l.hushed == through {
		l.hushed = !through
		l.truths.note(now, "signal", l.plan.Name, onOff(through))
	}
}

func (l *link) carry(now int64, sent bool, counts *values) {
	l.weather()
	lesson := l.sender.teaches(now, sent)
	switch {
	case !sent || l.hushed || !l.receiver.awake(now):
		l.lapse()
	case l.bad:
		l.truths.note(now, "packet", l.plan.Name, "missed")
	default:
		l.deliver(now, counts)
		if lesson {
			l.receiver.learn(now)
		}
	}
}

func (l *link) deliver(now int64, counts *values) {
	if !l.begun {
		l.truths.note(now, "packet", l.plan.Name, "first")
	}
	l.begun, l.heardAt = true, now
	l.receiver.receive(now, counts)
}

// lapse is a packet's time without anything to hear.
func (l *link) lapse() {
	if l.begun {
		l.truths.note(l.heardAt, "packet", l.plan.Name, "last")
	}
	l.begun = false
}

// weather steps the chain. The share of bad packets is loss, the mean length
// of a bad run is burst.
func (l *link) weather() {
	x := l.rng.Float64()
	if l.bad {
		l.bad = x >= 1/l.plan.Burst
	} else {
		l.bad = x < l.plan.Loss/(l.plan.Burst*(1-l.plan.Loss))
	}
}
