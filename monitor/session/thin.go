package session

import (
	"context"
	"errors"
	"fmt"
	"io/fs"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// Thinner takes what was heard out of packed parts of a session. Nobody may record
// meanwhile.
type Thinner struct {
	in    files.Folder
	spans map[int]recording.SegmentSpan // of the segments that were looked at, by number
}

// OpenToThin opens a session, and keeps others off it until Close. ErrBusy: somebody
// records.
func OpenToThin(folder Folder) (*Thinner, error) {
	in, err := folder.Open()
	if err != nil {
		return nil, err
	}
	if !recorded(in) {
		err = fmt.Errorf("%s is no session: it has no recording: %w", in.Path(), fs.ErrNotExist)
	} else {
		err = lock(in)
	}
	if err != nil {
		return nil, errors.Join(err, in.Close())
	}
	return &Thinner{in, map[int]recording.SegmentSpan{}}, nil
}

// Before are the packed segments that end before a moment, Unix ns, and were not thinned
// yet. They are read whole for that; one that is damaged is passed over.
func (t *Thinner) Before(ctx context.Context, unixNS int64) (before []recording.Segment, err error) {
	list, err := recording.Segments(t.in)
	if err != nil {
		return nil, err
	}
	for _, s := range list {
		if !s.Packed {
			continue
		}
		span, err := recording.SpanOf(ctx, t.in, s)
		switch {
		case errors.Is(err, recording.ErrThinned), errors.Is(err, recording.ErrDamaged):
		case err != nil:
			return nil, err
		case span.Base+int64(span.To) < unixNS:
			t.spans[s.Number] = span
			before = append(before, s)
		default:
			return before, nil
		}
	}
	return before, nil
}

// Span is that of one of these, bench time.
func (t *Thinner) Span(s recording.Segment) (from, to unit.Time) {
	span := t.spans[s.Number]
	return span.From, span.To
}

// Thin thins one of these.
func (t *Thinner) Thin(ctx context.Context, s recording.Segment) error {
	return recording.Thin(ctx, t.in, s)
}

// Close lets go of the session.
func (t *Thinner) Close() { _ = t.in.Close() }
