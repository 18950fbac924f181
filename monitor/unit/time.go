// Package unit holds bench time and how times and pulse widths are written.
package unit

import "math"

// Time is bench time: nanoseconds since the session began. It goes on over
// restarts and never decreases. Judgement knows no other clock.
type Time int64

// Never is later than every date.
const Never Time = math.MaxInt64

// Durations in bench time.
const (
	Microsecond Time = 1_000
	Millisecond Time = 1_000_000
	Second      Time = 1_000_000_000
	Minute           = 60 * Second
)
