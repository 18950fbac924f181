package recording

import (
	"fmt"
	"io"
	"slices"

	"benchproof.example/monitor/unit"
)

// Position is a place between two inputs of a recording from which reading can
// begin.
type Position struct {
	Offset  int64     `json:"offset"`  // of the next block, bytes from the start of the file
	Section int64     `json:"section"` // of the section's header
	Base    int64     `json:"base_ns"` // Unix ns of bench time 0 in this section
	Taps    []int     `json:"taps"`    // the tap of each interface so far; -1: its description was lost
	Input   int64     `json:"input"`   // number of the next input
	At      unit.Time `json:"at_ns"`   // date of the last input
	Hurt    bool      `json:"hurt,omitempty"`
}

// Position is the place behind the input that Next gave last.
func (r *Reader) Position() Position {
	s := &r.section
	return Position{
		Offset: r.win.offset, Section: s.start, Base: s.base, Taps: slices.Clone(s.taps),
		Input: r.next, At: r.last, Hurt: s.hurt,
	}
}

// NewReaderAt reads a recording from a place that a Mark gave. Offsets count
// from the start of the file. That the place fits the file shows at the first
// input: another number than the place foretells is damage.
func NewReaderAt(src io.ReadSeeker, p Position) (*Reader, error) {
	if err := p.check(); err != nil {
		return nil, fmt.Errorf("read recording from a position: %w", err)
	}
	end, err := src.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, fmt.Errorf("read recording from byte %d: %w", p.Offset, err)
	}
	if p.Offset > end {
		return nil, fmt.Errorf("read recording from byte %d: the file ends at byte %d; the position belongs to another file or to a tail that was cut", p.Offset, end)
	}
	if _, err := src.Seek(p.Offset, io.SeekStart); err != nil {
		return nil, fmt.Errorf("read recording from byte %d: %w", p.Offset, err)
	}
	r := NewReader(src)
	r.win.offset, r.whole = p.Offset, p.Offset
	if p.Offset > 0 {
		r.section = sectionState{known: true, hurt: p.Hurt, start: p.Section, base: p.Base, first: -1, taps: slices.Clone(p.Taps)}
	}
	r.next, r.last = p.Input, p.At
	return r, nil
}

func (p *Position) check() error {
	switch {
	case p.Section < 0 || p.Offset < p.Section:
		return fmt.Errorf("got section %d and offset %d, want 0 or more, in this order", p.Section, p.Offset)
	case p.Input < 0 || p.At < 0:
		return fmt.Errorf("got input %d at %d ns, want 0 or more", p.Input, p.At)
	}
	for i, tap := range p.Taps {
		if tap < unknownTap || tap > 255 {
			return fmt.Errorf("got tap %d on interface %d, want -1 to 255", tap, i)
		}
	}
	return nil
}
