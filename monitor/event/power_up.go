package event

import (
	"fmt"

	"benchproof.example/monitor/unit"
)

// PowerUpData belongs to powerup.measured.
type PowerUpData struct {
	Tap      string          `json:"tap"`
	Off      bool            `json:"off"`      // the bus had fallen silent before: the receiver was off
	Frames   int64           `json:"frames"`   // heard before the first live one behind flagged ones; 0: it sent nothing
	Flagged  int64           `json:"flagged"`  // of these, with either flag
	FirstNS  unit.Duration   `json:"first_ns"` // from the prompt to the first frame, -1: none
	Channels []PowerUpRanges `json:"channels"` // 1 to 16, while flags stood for four frames or more; none where they never did
}

// PowerUpRanges is between which widths a channel stood. What three frames or fewer
// had is left out.
type PowerUpRanges struct {
	LeastNS unit.Width `json:"least_ns"`
	MostNS  unit.Width `json:"most_ns"`
}

// powerUpSentence says in one line what a receiver sent without its transmitter.
func powerUpSentence(_ *Event, name string, d *PowerUpData) string {
	switch {
	case !d.Off:
		return name + ": the bus did not fall silent, so the receiver was not switched off"
	case d.Frames == 0:
		return name + ": switched on without its transmitter, the receiver sent nothing on the bus"
	}
	return fmt.Sprintf("%s: switched on without its transmitter, the receiver sent %d frames, %d of them flagged", name, d.Frames, d.Flagged)
}
