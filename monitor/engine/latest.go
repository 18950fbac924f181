package engine

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/unit"
)

// Latest is the latest frame of a tap that was not damaged, and the wire time of
// the latest frame of all; false before the first. The frame is the engine's own:
// read it between steps, on the same goroutine, and keep nothing of it.
func (e *Engine) Latest(tap uint8) (*bus.Frame, unit.Time, bool) {
	if int(tap) >= len(e.decoders) {
		return nil, 0, false
	}
	decoder, ok := e.decoders[tap].(*Bus)
	if !ok || !decoder.Counts.Heard {
		return nil, 0, false
	}
	return &decoder.Counts.Latest, decoder.Counts.Last, true
}
