package engine

import (
	"context"
	"errors"
	"io"

	"benchproof.example/monitor/event"
)

// Source yields inputs in order, io.EOF after the last. Data is lent until the
// next call. The bench itself, a recording and a file of raw bytes are sources.
type Source interface {
	Next(in *event.Input) error
}

// Until is a source that ends with the error of ctx once that is done.
func Until(ctx context.Context, s Source) Source { return &until{ctx, ctx.Done(), s} }

type until struct {
	ctx  context.Context
	done <-chan struct{}
	of   Source
}

// Next implements Source.
func (u *until) Next(in *event.Input) error {
	select {
	case <-u.done:
		return u.ctx.Err()
	default:
		return u.of.Next(in)
	}
}

// StepFrom reads the next input of a source into in and judges it. What a source says
// in place of an input (io.EOF: it ended) is returned as it is, and nothing is judged.
// Watching and replaying are this one function, with two sources.
func (e *Engine) StepFrom(s Source, in *event.Input) error {
	if err := s.Next(in); err != nil {
		return err
	}
	e.Step(in)
	return nil
}

// Run lets the engine judge what a source yields until it ends. judged, unless it is nil,
// is called after each input.
func Run(s Source, e *Engine, judged func(in *event.Input)) error {
	var in event.Input
	for {
		if err := e.StepFrom(s, &in); err != nil {
			if errors.Is(err, io.EOF) {
				return nil
			}
			return err
		}
		if judged != nil {
			judged(&in)
		}
	}
}
