package event

import (
	"sort"

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

// PlaceOf is where in a list by numbers of outputs, ascending, one is, or belongs. Most boards
// have outputs 1, 2, 3 and so on, so it is looked for there first.
func PlaceOf(output, length int, at func(i int) int) (i int, ok bool) {
	if i = output - 1; i >= 0 && i < length && at(i) == output {
		return i, true
	}
	return searchedPlace(output, length, at)
}

func searchedPlace(output, length int, at func(i int) int) (i int, ok bool) {
	return sort.Find(length, func(i int) int { return output - at(i) })
}

// Fall is the end of the pulse, since the board's clock began.
func (p *Pulse) Fall() unit.Duration { return p.Rise + p.Width.Duration() }
