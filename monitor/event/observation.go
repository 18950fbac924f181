package event

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/unit"
)

// What decoding adds to the kinds of input: an Observation has either the kind
// of the input that it passes on, or one of these.
const (
	FrameSeen    InputKind = iota + 64 // one frame of a bus
	BytesRefused                       // bytes that were no frame
	PulseSeen                          // one servo pulse
	BoardStatus                        // a capture board spoke of itself
	LinesLost                          // lines of a capture board, or a phone's sentences, that are lacking or were refused
	AttitudeSeen                       // a phone says how it lies
	PhoneSpoke                         // a phone spoke of itself
)

// Observation is what the decoder of a tap makes of an input. It is lent for
// the call.
type Observation struct {
	At   unit.Time // date of the input that completed it
	Wire unit.Time // frames: when the last character's first stop bit ended; pulses: the falling edge; attitudes: when the phone measured; estimated
	Tap  uint8
	Kind InputKind

	Frame   *bus.Frame    // FrameSeen
	Repeats bool          // FrameSeen: it has the same counts and flags as the tap's frame before; false: not known
	Pace    Pace          // FrameSeen
	Refused bus.Refused   // BytesRefused
	Pulse   *Pulse        // PulseSeen
	Board   Board         // BoardStatus
	Lost    BoardLostData // LinesLost
	Lies    *Attitude     // AttitudeSeen
	Phone   *PhoneStatus  // PhoneSpoke
	Data    []byte        // of the input, where its kind is passed on
}

// Board is what a capture board says of itself.
type Board struct {
	Name    string
	Tick    unit.Duration // of its clock
	Outputs int           // leads that it listens to
	Dropped int64         // pulses that it could not report, since its start
}
