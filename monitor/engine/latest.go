package engine

import (
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/unit"
)

// Latest is the latest frame of a tap that was not damaged, and the wire time of
// the latest frame of all; false before the first. The frame is the engine's own:
// read it between steps, on the same goroutine, and keep nothing of it.
func (e *Engine) Latest(tap uint8) (*servobus.Frame, unit.Time, bool) {
	if int(tap) >= len(e.decoders) {
		return nil, 0, false
	}
	bus, ok := e.decoders[tap].(*Bus)
	if !ok || !bus.Counts.Heard {
		return nil, 0, false
	}
	return &bus.Counts.Latest, bus.Counts.Last, true
}
