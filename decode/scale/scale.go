// Package scale turns bus counts into servo pulse widths and percent, and back.
//
// A bus channel is a count; a servo follows a pulse width. Makers tie
// the two together by a straight line, and not all by the same one, so a scale
// is two points of that line. Widths are int64 nanoseconds: judgement compares
// integers, and at the common 625 ns per count nothing is rounded.
package scale

import "fmt"

// Scale is the straight line through (Counts[0], Nanos[0]) and
// (Counts[1], Nanos[1]). The two counts must differ, and so must the widths.
type Scale struct {
	Counts [2]int64 // counts
	Nanos  [2]int64 // pulse width, ns
}

// Common is the scaling most receivers use: 0.625 µs per count, 992 counts at
// 1500 µs (common practice; no standard says so).
var Common = Scale{Counts: [2]int64{0, 992}, Nanos: [2]int64{880_000, 1_500_000}}

// Check says what is wrong with a scale, or nil.
func (s Scale) Check() error {
	if s.Counts[0] == s.Counts[1] {
		return fmt.Errorf("both points of the scale lie at %d counts; two different counts are needed", s.Counts[0])
	}
	if s.Nanos[0] == s.Nanos[1] {
		return fmt.Errorf("both points of the scale lie at %d ns; two different widths are needed", s.Nanos[0])
	}
	return nil
}

// Width is the pulse width in ns that belongs to a count, rounded to the
// nearest ns, halves away from zero.
func (s Scale) Width(count int64) int64 {
	return s.Nanos[0] + divRound((count-s.Counts[0])*(s.Nanos[1]-s.Nanos[0]), s.Counts[1]-s.Counts[0])
}

// Count is the count whose width comes nearest to the given pulse width in ns.
// It may lie outside what a bus carries: whether such a width can be sent is for the
// caller to say, never clamped here.
func (s Scale) Count(width int64) int64 {
	return s.Counts[0] + divRound((width-s.Nanos[0])*(s.Counts[1]-s.Counts[0]), s.Nanos[1]-s.Nanos[0])
}

// PerCount is the width of one count in ns, rounded away from zero, never
// negative: what a reading can't resolve.
func (s Scale) PerCount() int64 {
	run, rise := abs(s.Counts[1]-s.Counts[0]), abs(s.Nanos[1]-s.Nanos[0])
	return (rise + run - 1) / run
}

// Percent is the travel that transmitters show, in hundredths of a percent:
// 0 at 1500 µs, ±10000 at 1500 ± 512 µs (common practice).
func Percent(width int64) int64 { return divRound((width-1_500_000)*10_000, 512_000) }

// StandardPercent is the share of the standard pulse range in hundredths of a
// percent, 0 at 1000 µs and 10000 at 2000 µs, as the RC_CHANNELS message of
// the MAVLink common message set defines it.
func StandardPercent(width int64) int64 { return divRound(width-1_000_000, 100) }

func divRound(a, b int64) int64 {
	if b < 0 {
		a, b = -a, -b
	}
	if a < 0 {
		return -((-a + b/2) / b)
	}
	return (a + b/2) / b
}

func abs(a int64) int64 {
	if a < 0 {
		return -a
	}
	return a
}
