package world

import (
	"time"
)

// ReceiverPlan is one receiver, the radio link to it, and the way from it to the computer.
// Times are ns; where they are a Spread, the seed picks one.
type ReceiverPlan struct {
	Name string

	// What it does without a link.
	OnLoss        LossKind       // in failsafe
	Wakes         LossKind       // before its first link; LossHold: all channels at NeutralWidth
	FailsafeAfter Spread         // from the last packet to failsafe
	HoldsFor      Spread         // from failsafe to leaving the last values
	Ramp          Spread         // from the last values to the presets
	RegainAfter   Spread         // from the first packet back to the end of failsafe
	NeverBack     bool           // a failsafe once there ends with its power only
	Presets       map[int]Spread // widths, by channel number; other channels hold
	TeachEvery    Spread         // between the packets that bring it its presets; 0: it knows them

	// The flags of its frames.
	Flags             FlagSet // that it ever sets
	EarlyFlags        FlagSet // that it ever sets before its first link
	AlwaysFlags       FlagSet // that it sets in every frame
	LostFlagAfter     Spread  // from the last packet; 0: as soon as one is missed
	FailsafeFlagAfter Spread  // from the last packet; 0: with failsafe

	// Its bus.
	Period          int64 // from frame to frame
	FooterSlots     bool  // footers of telemetry slots, not 0x00
	Chatter         int   // foreign bytes after about half of the frames
	Stabiliser      StabiliserPlan
	Missing, Damage float64 // shares of frames never sent, and of characters hit
	Noise           float64 // stray characters a second
	Clump           int64   // the adapter's timer, 0: it hands over soon

	// The radio link.
	Loss  float64 // mean share of packets missed
	Burst float64 // mean length of a run of them, packets, at least 1
}

// LossKind is what a receiver does in failsafe.
type LossKind int

// The kinds of loss.
const (
	LossPreset LossKind = iota // it goes to its presets
	LossHold                   // it repeats the last values
	LossSilent                 // it sends nothing
)

func (l LossKind) String() string {
	return []string{LossPreset: "preset", LossHold: "hold", LossSilent: "silent"}[l]
}

// NewReceiverPlan is a receiver with the habits that many have.
func NewReceiverPlan(name string, kind LossKind) ReceiverPlan {
	return ReceiverPlan{
		Name: name, OnLoss: kind, Wakes: kind, Flags: BothFlags, EarlyFlags: BothFlags,
		FailsafeAfter: Fixed(int64(900 * time.Millisecond)), Period: int64(7 * time.Millisecond),
		Presets: map[int]Spread{}, Burst: 1,
	}
}

// ChatterRoom is how many foreign bytes fit between two frames.
func (t *ReceiverPlan) ChatterRoom() int {
	return int(max(t.Period-frameTime-replyGap-2*jitter, 0) / charTime)
}
