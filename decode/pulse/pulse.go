// Package pulse turns what servo leads show into servo pulses: edges of one lead
// (Meter), or the lines that a capture board prints (Lines).
package pulse

// Pulse is one positive servo pulse. Times are of its source's own clock, which
// begins anew with each Epoch.
type Pulse struct {
	Output int   // from 1
	Rise   int64 // ns
	Width  int64 // ns
	Period int64 // from the rise before to this one, ns; 0: unknown, the first or after something was lost
	Epoch  int   // how often the source's clock began anew
}
