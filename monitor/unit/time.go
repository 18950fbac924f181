// Package unit holds the units of judgement: instants and durations of bench time and
// pulse widths, and how they are written. The compiler keeps them apart.
package unit

import "math"

// Time is an instant of bench time: nanoseconds since the session began. It goes on
// over restarts and never decreases. Judgement knows no other clock.
type Time int64

// Never is later than every date.
const Never Time = math.MaxInt64

// Add is the instant that lies d after t.
func (t Time) Add(d Duration) Time { return t + Time(d) }

// Sub is how long after u the instant t is; negative where t is before u.
func (t Time) Sub(u Time) Duration { return Duration(t - u) }

// Truncate is the latest multiple of d since the session began that is not after t.
func (t Time) Truncate(d Duration) Time { return t - t%Time(d) }
