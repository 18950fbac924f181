package trace

import (
	"fmt"

	"benchproof.example/monitor/unit"
)

// Bounds of what one answer holds.
const (
	MostColumns = 4800                 // 50 ms each: four minutes
	MostSpan    = 2 * 60 * unit.Minute // read out of a recording that is half a second, and a few MB
)

// Span is a stretch that somebody wants to see, in so many columns at most.
type Span struct {
	From, To unit.Time
	Columns  int
}

// Check says what is wrong with it.
func (s Span) Check() error {
	switch {
	case s.From < 0 || s.To <= s.From:
		return fmt.Errorf("got from_ns %d and to_ns %d, want 0 or more and a later one", s.From, s.To)
	case s.To.Sub(s.From) > MostSpan:
		return fmt.Errorf("got a stretch of %s, want %s at most", unit.FormatSpan(s.To.Sub(s.From)), unit.FormatSpan(MostSpan))
	case s.Columns < 1 || s.Columns > MostColumns:
		return fmt.Errorf("got columns %d, want 1 to %d", s.Columns, MostColumns)
	}
	return nil
}

// Answer is an empty answer to it: its step is the least multiple of Step by which it has no more
// columns than are wanted, and it begins and ends with whole ones.
func (s Span) Answer() *Answer {
	wide := unit.Duration(s.Columns) * Step
	parts := int64((s.To.Sub(s.From) + wide - 1) / wide)
	a := newAnswer(parts)
	step := parts * int64(Step)
	a.from, a.to = int64(s.From)/step*parts, (int64(s.To)+step-1)/step*parts
	return a
}

// Bounds are the numbers of columns of Step that an answer has room for, the second is the first
// behind it.
func (a *Answer) Bounds() (from, to int64) { return a.from, a.to }
