package recording

import (
	"errors"
	"fmt"
	"io"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/unit"
)

// Position is a place between two inputs of a recording from which reading can
// begin.
type Position struct {
	Segment int       `json:"segment,omitempty"` // number of the segment; 0: of a recording in one file
	Offset  int64     `json:"offset"`            // of the next block, bytes from the start of the segment as it was written
	Section int64     `json:"section"`           // of the section's header
	Base    int64     `json:"base_ns"`           // Unix ns of bench time 0 in this section
	Taps    []int     `json:"taps"`              // the tap of each interface so far; -1: its description was lost
	Input   int64     `json:"input"`             // number of the next input
	At      unit.Time `json:"at_ns"`             // date of the last input
	Hurt    bool      `json:"hurt,omitempty"`
}

// Position is the place behind the input that Next gave last.
func (r *Reader) Position() Position {
	s := &r.section
	return Position{
		Segment: s.says.Segment, Offset: r.win.offset, Section: s.start, Base: s.base, Taps: slices.Clone(s.taps),
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
		r.begun = true
		r.section = sectionState{known: true, hurt: p.Hurt, start: p.Section, base: p.Base, first: -1, taps: slices.Clone(p.Taps), says: Section{Segment: p.Segment}}
	}
	r.next, r.last = p.Input, p.At
	return r, nil
}

// OpenSegmentsAt reads a recording in a folder as one, from a place in a segment on. A
// segment that was packed since is read from its start up to the place.
func OpenSegmentsAt(in files.Folder, p Position) (*SegmentReader, error) {
	if err := p.check(); err != nil {
		return nil, fmt.Errorf("read recording from a position: %w", err)
	}
	list, err := Segments(in)
	if err != nil {
		return nil, err
	}
	at := segmentOf(list, &p)
	if at < 0 {
		return nil, fmt.Errorf("read recording from a position: there is no segment %d any more", p.Segment)
	}
	s := &SegmentReader{in: in, left: list[at+1:], number: max(1, p.Segment)}
	f, now, err := openListed(in, list[at], s.number)
	if err != nil {
		return nil, err
	}
	s.file = f
	r, err := now.readerAt(f, p)
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	s.Reader, s.name, s.segment, s.more = *r, now.Name, s.number, s.next
	s.first = 0 // who reads from a place knows what came before
	return s, nil
}

// segmentOf is the place in the list of the segment that a position is in, -1: it is gone.
// The open one has the number after the last closed one.
func segmentOf(list []Segment, p *Position) int {
	next := 1
	for i := range list {
		number := list[i].Number
		if number == 0 {
			number = next
		}
		if number == max(1, p.Segment) {
			return i
		}
		next = number + 1
	}
	return -1
}

// readerAt reads a segment from a place on.
func (s *Segment) readerAt(f io.Reader, p Position) (*Reader, error) {
	if plain, ok := f.(io.ReadSeeker); ok && !s.Packed {
		return NewReaderAt(plain, p)
	}
	r := NewReader(f)
	var in event.Input
	for r.next < p.Input || !r.begun {
		if err := r.Next(&in); err != nil {
			return nil, fmt.Errorf("read %s up to input %d: %w", s.Name, p.Input, err)
		}
	}
	if r.next != p.Input {
		return nil, fmt.Errorf("read %s up to input %d: got input %d first", s.Name, p.Input, r.next)
	}
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
