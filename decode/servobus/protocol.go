package servobus

import (
	"benchproof.example/decode/bus"
	"benchproof.example/decode/scale"
	"benchproof.example/decode/uart"
)

// Protocol is the row of the servo bus: an inverted line at 100 000 baud 8E2, so that
// a character takes 120 µs and a frame 3 ms (common practice).
func Protocol() *bus.Protocol {
	return &bus.Protocol{
		Name:  "servo-bus",
		Title: "servo bus",
		Line:  uart.Format{Baud: 100_000, Data: 8, Parity: uart.Even, Stop: 2, Inverted: true},

		FrameLen: FrameLen,
		Channels: Channels,
		Digital:  2,
		Flags:    bus.Lost | bus.Failsafe,
		Private:  "footer",
		Range:    [2]uint32{0, maxCount},
		Scale:    scale.Common,
		Reasons:  []bus.Reason{bus.NoHeader, bus.NoFooter, bus.Unconfirmed, bus.CutOff},

		Codec: codec{},
	}
}

// codec implements bus.Codec.
type codec struct{}

func (codec) NewFramer() bus.Framer           { return new(Framer) }
func (codec) Decode(raw []byte, f *bus.Frame) { Decode(raw, f) }
func (codec) Encode(f *bus.Frame, raw []byte) { Encode(f, raw) }
