package world

import "time"

// LeadLoss is what an output does in failsafe.
type LeadLoss int

// What outputs do in failsafe.
const (
	LeadFollows LeadLoss = iota // the receiver's values; silent if they are
	LeadStops
	LeadHolds // the width that it had
)

func (l LeadLoss) String() string {
	return []string{LeadFollows: "follows", LeadStops: "stops", LeadHolds: "holds"}[l]
}

// OutputPlan is one output of the receiver that a board listens to. Widths are ns.
type OutputPlan struct {
	Number    int               // from 0
	Weights   [MaxChannel]int64 // parts per million of a channel's way from 1500 µs
	Corrects  [Axes]bool
	Neutral   int64
	Low, High int64 // learned limits
	Every     int64 // ns
	Loss      LeadLoss

	// What faults make of it.
	Answers  [Axes]int64 // of the right correction, parts per million
	Mirrored bool        // about neutral
	Dead     bool        // no pulses
	Stuck    int64       // pulses of this width, 0: it is not
	Pause    PausePlan
	Shift    [GyroModes]int64 // that its neutral lies elsewhere in a mode of the stabiliser, ns
}

// PausePlan is an output that falls silent now and then.
type PausePlan struct{ Every, Lasts int64 } // ns, 0: never

func (p *PausePlan) holds(now int64) bool {
	return p.Every > 0 && now >= p.Every && now%p.Every < p.Lasts
}

// mixed is the width for what the receiver was sent and what its stabiliser
// answers in a mode.
func (p *OutputPlan) mixed(s *Plan, counts *values, answer *[Axes]int64, mode GyroMode) int64 {
	var off int64
	for number, weight := range p.Weights {
		if weight != 0 {
			off += weight * (s.widthOf(counts, number) - NeutralWidth)
		}
	}
	for a, corrects := range p.Corrects {
		if corrects {
			stick := &s.Gyro.Sticks[a]
			off += p.Weights[stick.Number] * stick.Way * (answer[a] * p.Answers[a] / million)
		}
	}
	off /= million
	if p.Mirrored {
		off = -off
	}
	return min(max(p.Neutral+p.Shift[mode]+off, p.Low), p.High)
}

// NewOutputPlan is an output that nothing moves yet.
func NewOutputPlan(number int) OutputPlan {
	return OutputPlan{
		Number: number, Neutral: NeutralWidth, Low: 950 * us, High: 2050 * us,
		Every: int64(20 * time.Millisecond), Answers: [Axes]int64{million, million, million},
	}
}
