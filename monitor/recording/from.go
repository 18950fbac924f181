package recording

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/unit"
)

// OpenSegmentsFrom reads a recording in a folder as one, from the beginning of a segment on: of the
// latest that begins no later than a moment, or of one so many before that, the first at most.
// first: there is none before it. Of the segments before it opens a few, and reads no more than
// their first input.
func OpenSegmentsFrom(in files.Folder, at unit.Time, before int) (s *SegmentReader, first bool, err error) {
	list, err := Segments(in)
	if err != nil {
		return nil, false, err
	}
	if len(list) == 0 {
		return nil, false, fmt.Errorf("%s has no recording: %w", in.Path(), fs.ErrNotExist)
	}
	later, _ := slices.BinarySearchFunc(list, at, func(s Segment, at unit.Time) int {
		if err == nil && s.beginsAfter(in, at, &err) {
			return 1
		}
		return -1
	})
	if err != nil {
		return nil, false, err
	}
	i := max(0, later-1-before)
	s = &SegmentReader{in: in, left: list[i:]}
	if i > 0 {
		s.number = list[i-1].Number
	}
	s.Reader = Reader{more: s.next}
	return s, i == 0, s.Reader.goOn()
}

// beginsAfter reports whether a segment's first input is later than a moment. One that cannot be
// read, or has none yet, is taken for later: what is before it is read, and what is wrong shows then.
func (s *Segment) beginsAfter(in files.Folder, at unit.Time, failed *error) bool {
	r, err := OpenSegment(in, *s)
	if errors.Is(err, fs.ErrNotExist) && s.Number > 0 && !s.Packed { // it was packed since
		r, err = OpenSegment(in, closedSegment(s.Number, true))
	}
	if err != nil {
		*failed = err
		return false
	}
	defer func() { _ = r.Close() }()
	var first event.Input
	switch err := r.Next(&first); {
	case errors.Is(err, io.EOF):
		return true
	case err != nil:
		*failed = err
		return false
	}
	return first.At > at
}
