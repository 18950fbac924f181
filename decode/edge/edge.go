// Package edge has the changes of a digital line, as captures give them: a tick
// and the level from there on. Ticks are integers of a rate that the capture
// reports, so that nothing is rounded before somebody asks for nanoseconds.
//
//	level   ____      ________
//	            \____/        \____
//	tick        ^    ^        ^
package edge

import (
	"math"
	"math/bits"
)

// Level is the state of a line.
type Level uint8

// The levels. Unknown is a line that nothing drives or that a simulator can't
// tell (x and z of IEEE 1364): neither high nor low, and never guessed to be
// one.
const (
	Low Level = iota
	High
	Unknown
)

func (l Level) String() string {
	switch l {
	case Low:
		return "low"
	case High:
		return "high"
	}
	return "unknown"
}

// Not is the level of the inverted line.
func (l Level) Not() Level {
	switch l {
	case Low:
		return High
	case High:
		return Low
	}
	return Unknown
}

// Edge is one change: from Tick on the line is at Level. Ticks of a line never
// decrease.
type Edge struct {
	Tick  int64
	Level Level
}

// Rate is how long a tick is: Num/Den nanoseconds, both above 0. A timescale of
// 10 ps is 1/100, one of 1 µs is 1000/1.
type Rate struct{ Num, Den int64 }

// Nanosecond is a rate of one tick a nanosecond.
var Nanosecond = Rate{1, 1}

// Nanos is the time of a tick, ns, rounded down. It is exact as long as the
// result fits; what does not is given as the largest (smallest) number.
func (r Rate) Nanos(tick int64) int64 { return mulDiv(tick, r.Num, r.Den) }

// Ticks is the number of ticks in a time, ns, rounded down.
func (r Rate) Ticks(nanos int64) int64 { return mulDiv(nanos, r.Den, r.Num) }

// mulDiv is floor(a·b/c) for b, c > 0.
func mulDiv(a, b, c int64) int64 {
	if b == 1 && c == 1 {
		return a
	}
	negative := a < 0
	size := uint64(a)
	if negative {
		size = -size
	}
	hi, lo := bits.Mul64(size, uint64(b))
	quotient, rest := uint64(math.MaxUint64), uint64(0)
	if hi < uint64(c) {
		quotient, rest = bits.Div64(hi, lo, uint64(c))
	}
	switch {
	case negative && quotient >= 1<<63:
		return math.MinInt64
	case negative && rest > 0:
		return -int64(quotient) - 1
	case negative:
		return -int64(quotient)
	}
	return int64(min(quotient, math.MaxInt64))
}
