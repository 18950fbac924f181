package event

import (
	"benchproof.example/decode/pulse"
	"benchproof.example/monitor/unit"
)

// Pulse is one positive servo pulse. The board's clock begins anew with each Epoch.
type Pulse struct {
	Output int           // from 1
	Rise   unit.Duration // since the board's clock began
	Width  unit.Width
	Period unit.Duration // from the rise before to this one; 0: unknown, the first or after something was lost
	Epoch  int           // how often the board's clock began anew
}

// PulseOf is a pulse as the decoder has it, which counts plain nanoseconds.
func PulseOf(p *pulse.Pulse) Pulse {
	return Pulse{Output: p.Output, Rise: unit.Duration(p.Rise), Width: unit.Width(p.Width), Period: unit.Duration(p.Period), Epoch: p.Epoch}
}

// Fall is the end of the pulse, since the board's clock began.
func (p *Pulse) Fall() unit.Duration { return p.Rise + p.Width.Duration() }
