// Package reliability has the statistics of outages in a soak: how rare they are at most,
// what pattern they have, and the sentences about both.
//
// Outages come in bunches, so what is counted are occasions: runs of outages with no quiet
// gap between them. A bound on their mean rate, 95 % sure, holds for the average over this
// soak, and for sources of disturbance that last up to twice the gap; the sentences say both.
// Figures that leave the package are whole: hours are rounded down, time to run is rounded up.
package reliability

import "benchproof.example/monitor/unit"

const hour = 60 * unit.Minute

// The quiet gap is fixed before a soak begins.
const (
	// Gap is the usual one: right for sources of disturbance that last up to an hour.
	Gap = 30 * unit.Minute
	// LongGap is for sources that may last up to two hours.
	LongGap = 60 * unit.Minute
)

// confidence is how sure each bound is.
const confidence = 0.95
