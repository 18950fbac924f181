package session

import (
	"context"
	"errors"
	"fmt"
	"time"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/trace"
	"benchproof.example/monitor/unit"
)

// Traces are the columns of a session that is heard: the latest out of memory, and older ones out
// of its recording. They may be asked for from any goroutine; what reads the disk does so on the
// time of who asks, and no more than two at a time.
type Traces struct {
	folder  files.Folder
	sheet   *sheet.Sheet
	memory  *trace.Memory
	readers chan struct{}
}

const (
	traceReaders  = 2
	tracePatience = 10 * time.Second
	// delivered is how long after a moment everything of it was read, at most: what a driver holds
	// is less than that.
	delivered = 10 * unit.Second
	// traceCancelled is how many inputs are read until somebody looks whether they are wanted still.
	traceCancelled = 512
)

// ErrNoTrace says that an older part of a trace can't be had for now.
var ErrNoTrace = errors.New("the recording does not answer: older traces can't be read now")

// Traces has columns made of what is heard from the start on. It is for the time between Open and
// Run.
func (l *Live) Traces() *Traces {
	t := &Traces{
		folder: l.files.folder, sheet: l.sheet, memory: trace.NewMemory(), readers: make(chan struct{}, traceReaders),
	}
	l.Subscribe(Subscriber{Observed: trace.NewFold(l.sheet, t.memory).See})
	return t
}

// News are the columns that came since it was asked last: see trace.Memory.
func (t *Traces) News() (*trace.Answer, bool) { return t.memory.News() }

// Skip has News leave out what came so far.
func (t *Traces) Skip() { t.memory.Skip() }

// Span are the columns of a stretch, as far as they do not change any more.
func (t *Traces) Span(ctx context.Context, s trace.Span) (*trace.Answer, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	a := s.Answer()
	from, to := a.Bounds()
	knows := t.memory.Knows()
	if from < knows {
		if err := t.older(ctx, from, min(to, knows), a); err != nil {
			return nil, err
		}
	}
	t.memory.Each(max(from, knows), to, a)
	return a, nil
}

// older has an answer take the columns in [from, to) out of the recording. A disk that hangs holds
// up who asks for a while, and the two goroutines that wait for it.
func (t *Traces) older(ctx context.Context, from, to int64, into trace.Sink) error {
	ctx, cancel := context.WithTimeout(ctx, tracePatience)
	defer cancel()
	select {
	case t.readers <- struct{}{}:
	case <-ctx.Done():
		return ErrNoTrace
	}
	done := make(chan error, 1)
	go func() {
		defer func() { <-t.readers }()
		done <- t.read(ctx, from, to, into)
	}()
	select {
	case err := <-done:
		if err != nil {
			return fmt.Errorf("older traces can't be read: %w", err)
		}
		return nil
	case <-ctx.Done():
		return ErrNoTrace
	}
}

// read reads the recording from where decoding can begin, no later than a column.
func (t *Traces) read(ctx context.Context, from, to int64, into trace.Sink) error {
	for before := 0; ; before++ {
		began, err := t.readFrom(ctx, before, from, to, into)
		if began || err != nil {
			return err
		}
	}
}

// readFrom reads from a segment on, so many before that in which a column lies. began: decoding
// could begin before that column.
func (t *Traces) readFrom(ctx context.Context, before int, from, to int64, into trace.Sink) (began bool, err error) {
	past := newPastColumns(t.sheet, from, to, into)
	r, first, err := recording.OpenSegmentsFrom(t.folder, past.begins, before)
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	return past.readAll(ctx, &r.Reader, first)
}
