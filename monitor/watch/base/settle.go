package base

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/median"
	"benchproof.example/monitor/unit"
)

// MinFrames is how many equal frames in a row it takes before they settle or
// contradict anything, a flag or a value: the bus has no checksum, and a receiver
// repeats a wrong value for two or three frames (common practice).
const MinFrames = median.MinFrames

// What it takes until a value stands.
const (
	SettleFrames = 5                    // a value stands for this many frames
	SettleTime   = event.ModeSettleTime // and this long
)

// MinRestartSilence is the silence behind which the receiver may have begun anew: its values
// prove nothing.
const MinRestartSilence = 300 * unit.Millisecond
