package unit

import "math"

// Duration is a length of time in nanoseconds, negative where it goes back.
type Duration int64

// Durations.
const (
	Microsecond Duration = 1_000
	Millisecond Duration = 1_000_000
	Second      Duration = 1_000_000_000
	Minute               = 60 * Second

	Forever Duration = math.MaxInt64 // longer than every other
)
