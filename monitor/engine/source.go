package engine

import (
	"errors"
	"io"

	"benchproof.example/monitor/event"
)

// Source yields inputs in order, io.EOF after the last. Data is lent until the
// next call. The bench itself, a recording and a file of raw bytes are sources.
type Source interface {
	Next(in *event.Input) error
}

// Run lets the bench judge what a source yields until it ends. Watching and
// replaying are this one function.
func Run(s Source, b *Engine) error {
	var in event.Input
	for {
		switch err := s.Next(&in); {
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return err
		}
		b.Step(&in)
	}
}
