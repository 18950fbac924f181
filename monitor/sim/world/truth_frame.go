package world

import "benchproof.example/decode/bus"

// Frame is one that was really sent, and what it does not show by itself.
type Frame struct {
	At    int64 // ns since the start: complete on the wire, as in Sim.FrameEnds
	Frame bus.Frame
	// Live: the values were heard from the transmitter, and no packet is missing
	// before it. Not in failsafe, not in a hiccup.
	Live  bool
	Wrong bool // made wrong by a garble
}
