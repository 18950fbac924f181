package world

import (
	"slices"
	"time"

	"benchproof.example/decode/scale"
)

const (
	us = int64(time.Microsecond)
	// NeutralWidth is the middle of what the trade sends.
	NeutralWidth = 1500 * us
)

// Plan is the simulated bench, and what happens at it, as plain data. Times and pulse widths
// are ns. A channel is an index into Channels and a receiver one into Receivers; a channel's
// number is its place on the bus, from 0.
type Plan struct {
	Scale       scale.Scale
	PacketEvery int64 // the pace of the radio link
	Channels    []ChannelPlan
	Receivers   []ReceiverPlan
	Hands       HandHabits
	Cutoff      *CutoffPlan // nil: there is no throttle cut
	Warns       []int       // channels that must be home before the transmitter sends
	Second      *SecondPlan // nil: there is no second transmitter
	Gates       []GatePlan
	Phases      []PhasePlan
	Trembles    []TremblePlan
	Board       *BoardPlan // nil: no board listens to servo leads
	Phone       *PhonePlan // nil: none lies on the model
	Servos      ServosPlan
	Gyro        GyroPlan
	Learning    LearningPlan
	Outputs     []OutputPlan
	Faults      []Fault
	Spikes      []SpikePlan
	Steps       []Step // in order of time
	Length      int64  // when it ends; Never: it does not
}

// NewPlan is a bench with nothing on it yet: the common scale and pace, without an end.
func NewPlan() Plan {
	return Plan{
		Scale: scale.Common, PacketEvery: int64(9 * time.Millisecond), Length: Never,
		Servos: NewServosPlan(), Gyro: GyroPlan{Gain: GainPlan{Number: -1, Fixed: million}},
	}
}

// neutral is what channels carry that nobody has said anything about.
func (p *Plan) neutral() values {
	var counts values
	for i := range counts {
		counts[i] = p.count(NeutralWidth)
	}
	return counts
}

// starts is what channels carry whose controls stand where they stood at first.
func (p *Plan) starts() values {
	counts := p.neutral()
	for i := range p.Channels {
		counts[p.Channels[i].Number] = p.count(p.Channels[i].Start)
	}
	return counts
}

// widthOf is the width that a count of a channel stands for, ns.
func (p *Plan) widthOf(counts *values, number int) int64 {
	return p.Scale.Width(int64(counts[number]))
}

// count is the count for a width; the parser refuses widths that have none,
// and a neutral that the scale can't carry sits at its end.
func (p *Plan) count(width int64) uint32 {
	return uint32(min(max(p.Scale.Count(width), 0), MaxCount))
}

// countsOf are the counts for a range of widths, whichever way the scale goes.
func (p *Plan) countsOf(widths Spread) Spread {
	a, b := int64(p.count(widths.Low)), int64(p.count(widths.High))
	return Spread{min(a, b), max(a, b)}
}

// NameTaken reports whether a name is a tap's, or one that truths are about.
func (p *Plan) NameTaken(name string) bool {
	return slices.Contains(p.TapNames(), name) || name == transmitterName || name == secondName || name == computerName
}
