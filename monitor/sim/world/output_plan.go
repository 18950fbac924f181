package world

// leadLoss is what an output does in failsafe.
type leadLoss int

const (
	leadFollows leadLoss = iota // the receiver's values; silent if they are
	leadStops
	leadHolds // the width that it had
)

var leadLossWords = []string{leadFollows: "follows", leadStops: "stops", leadHolds: "holds"}

// outputPlan is one output of the receiver that a board listens to. Widths are ns.
type outputPlan struct {
	number    int            // from 0
	line      int            // where the script declares it
	weights   [numbers]int64 // parts per million of a channel's way from 1500 µs
	corrects  [axes]bool
	neutral   int64
	low, high int64 // learned limits
	every     int64 // ns
	loss      leadLoss

	// What faults make of it.
	answers  [axes]int64 // of the right correction, parts per million
	mirrored bool        // about neutral
	dead     bool        // no pulses
	stuck    int64       // pulses of this width, 0: it is not
	pause    pausePlan
}

// pausePlan is an output that falls silent now and then.
type pausePlan struct{ every, lasts int64 } // ns, 0: never

func (p *pausePlan) holds(now int64) bool {
	return p.every > 0 && now >= p.every && now%p.every < p.lasts
}

// mixed is the width for what the receiver was sent and what its stabiliser
// answers.
func (p *outputPlan) mixed(s *Script, counts *values, answer *[axes]int64) int64 {
	var off int64
	for number, weight := range p.weights {
		if weight != 0 {
			off += weight * (s.widthOf(counts, number) - neutralWidth)
		}
	}
	for a, corrects := range p.corrects {
		if corrects {
			stick := &s.gyro.sticks[a]
			off += p.weights[stick.number] * stick.way * (answer[a] * p.answers[a] / million)
		}
	}
	off /= million
	if p.mirrored {
		off = -off
	}
	return min(max(p.neutral+off, p.low), p.high)
}
