// Package uart turns the edges of a line into the characters of an asynchronous
// serial sender, and characters into edges.
//
//	idle  ______                                   ____________
//	            |start| b0 | b1 | ... | b7 | parity| stop  stop
//	active      |_____|
//	            ^ start edge                              ^ end of the first stop bit
//
// A character is an active start bit, its bits from the lowest, perhaps a parity
// bit, and one or two idle stop bits; active is low on a plain line and high on an
// inverted one. A receiver does without the second stop bit, so that it reads 8E2
// and 8E1 alike.
package uart

import (
	"fmt"
	"math/bits"

	"benchproof.example/decode/edge"
)

// Parity says what the parity bit makes of the bits of a character.
type Parity uint8

// The parities.
const (
	None Parity = iota
	Even        // with it, an even number of ones
	Odd
)

// Format is how characters are sent.
type Format struct {
	Baud     int64  // bits a second
	Data     int    // bits of a character, 5 to 8
	Parity   Parity //
	Stop     int    // 1 or 2; a receiver waits for one
	Inverted bool   // idle is low
}

// String is the usual short form, such as "100000 8E2".
func (f Format) String() string {
	s := fmt.Sprintf("%d %d%c%d", f.Baud, f.Data, "NEO"[min(f.Parity, Odd)], f.Stop)
	if f.Inverted {
		s += " inverted"
	}
	return s
}

// Check says what is wrong with a format on a line whose edges come at a rate, or
// nil. A bit must last for four ticks: what is coarser looks the same.
func (f Format) Check(rate edge.Rate) error {
	switch {
	case rate.Num <= 0 || rate.Den <= 0:
		return fmt.Errorf("got a tick of %d/%d ns, want both above 0", rate.Num, rate.Den)
	case f.Baud < 1 || f.Baud > 1_000_000_000:
		return fmt.Errorf("got %d baud, want 1 to 1000000000", f.Baud)
	case f.Data < 5 || f.Data > 8:
		return fmt.Errorf("got %d data bits, want 5 to 8", f.Data)
	case f.Parity > Odd:
		return fmt.Errorf("got the parity %d, want none, even or odd", f.Parity)
	case f.Stop != 1 && f.Stop != 2:
		return fmt.Errorf("got %d stop bits, want 1 or 2", f.Stop)
	}
	if bit := newGrid(rate, f.Baud); bit.at(8) < 16 || bit.at(8) > 1<<40 {
		return fmt.Errorf("got ticks of %d/%d ns for %d baud, want 4 of them, or more, in a bit", rate.Num, rate.Den, f.Baud)
	}
	return nil
}

// CharBits is how many bits a character takes on the wire, with start and stop bits.
func (f Format) CharBits() int { return f.bits() + f.Stop - 1 }

// Nanos is how long so many bits take on the wire, in ns, rounded.
func (f Format) Nanos(bits int) int64 { return (int64(bits)*1_000_000_000 + f.Baud/2) / f.Baud }

// bits is how many bits a character has up to its first stop bit.
func (f Format) bits() int {
	n := 1 + f.Data + 1
	if f.Parity != None {
		n++
	}
	return n
}

// idle is the level between characters.
func (f Format) idle() edge.Level {
	if f.Inverted {
		return edge.Low
	}
	return edge.High
}

// parityBit is the bit that a character's parity asks for, 0 or 1.
func (f Format) parityBit(b uint32) uint32 {
	ones := uint32(bits.OnesCount32(b))
	if f.Parity == Odd {
		ones++
	}
	return ones & 1
}
