package bus

import (
	"errors"
	"fmt"
	"slices"

	"benchproof.example/decode/edge"
	"benchproof.example/decode/scale"
	"benchproof.example/decode/uart"
)

// Protocol is the row of a protocol. Frames of one protocol have one length.
type Protocol struct {
	Name  string      // what a sheet and a recording call it, such as "servo-bus"
	Title string      // what a sentence calls it, such as "servo bus"
	Line  uart.Format // how its characters are sent

	FrameLen int         // bytes of a frame
	Channels int         // proportional channels, up to MaxChannels
	Digital  int         // digital channels, which are off or on, up to MaxDigital; numbered behind the others
	Flags    Flags       // which of Lost and Failsafe its frames carry
	Private  string      // what Frame.Private is, one word; "": it has none
	Range    [2]uint32   // the least and the most that a count can be: at both, what is beyond is cut off
	Scale    scale.Scale // what a count is worth where a sheet does not say
	Reasons  []Reason    // why its framer refuses bytes, in the order in which they are shown

	Codec
}

// Codec is what a protocol does. An implementation without state, of which there is
// one value, makes rows that can be compared.
type Codec interface {
	// NewFramer makes a framer at the beginning of a stream.
	NewFramer() Framer
	// Decode reads FrameLen bytes that a framer believed. It writes all of f, and
	// leaves f.Bad false.
	Decode(raw []byte, f *Frame)
	// Encode writes FrameLen bytes as they go over the wire. Counts out of Range lose
	// their upper bits, and f.Bad has no place there.
	Encode(f *Frame, raw []byte)
}

// LastChannel is the number of the last channel, from 1. The digital channels come
// behind the proportional ones.
func (p *Protocol) LastChannel() int { return p.Channels + p.Digital }

// FrameTime is how long a frame takes on the wire, ns.
func (p *Protocol) FrameTime() int64 { return p.Line.Nanos(p.FrameLen * p.Line.CharBits()) }

// CharTime is how long a character takes on the wire, ns.
func (p *Protocol) CharTime() int64 { return p.Line.Nanos(p.Line.CharBits()) }

// LastStop is the part of a character after its first stop bit, ns. A receiver has the
// character when its first stop bit ends.
func (p *Protocol) LastStop() int64 { return p.Line.Nanos(p.Line.Stop - 1) }

// Rail reports whether a count is the least or the most that a frame can carry.
func (p *Protocol) Rail(count uint32) bool { return count == p.Range[0] || count == p.Range[1] }

// CountsOf is how many counts make a difference of pulse widths, ns, by the
// protocol's own scale; rounded, and never below 1.
func (p *Protocol) CountsOf(width int64) uint32 {
	from := int64(p.Range[0])
	n := p.Scale.Count(p.Scale.Width(from)+width) - from
	return uint32(max(1, n, -n))
}

// Check says what is wrong with a row, or nil.
func (p *Protocol) Check() error {
	return errors.Join(p.checkFrame(), p.checkNames(), p.Line.Check(edge.Nanosecond), p.Scale.Check())
}

func (p *Protocol) checkFrame() error {
	switch {
	case p.FrameLen < 1:
		return fmt.Errorf("got frames of %d bytes, want 1 or more", p.FrameLen)
	case p.Channels < 1 || p.Channels > MaxChannels:
		return fmt.Errorf("got %d channels, want 1 to %d", p.Channels, MaxChannels)
	case p.Digital < 0 || p.Digital > MaxDigital:
		return fmt.Errorf("got %d digital channels, want 0 to %d", p.Digital, MaxDigital)
	case p.Flags&^(Lost|Failsafe) != 0:
		return fmt.Errorf("got the flags %#x, want none but lost and failsafe", uint8(p.Flags))
	case p.Range[0] >= p.Range[1]:
		return fmt.Errorf("got counts from %d to %d, want more at the end", p.Range[0], p.Range[1])
	}
	return nil
}

func (p *Protocol) checkNames() error {
	switch {
	case p.Name == "" || p.Title == "":
		return errors.New("got a row without name or title")
	case !slices.Contains(p.Reasons, CutOff):
		return errors.New("got no reason cut-off, which every stream that ends may need")
	case p.Codec == nil:
		return errors.New("got a row without a codec")
	}
	return nil
}
