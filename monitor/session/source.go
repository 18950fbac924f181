package session

import (
	"errors"
	"io"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/port"
	"benchproof.example/monitor/recording"
)

// What a source says in place of an input, beside io.EOF.
var (
	errPastEnds   = errors.New("what was heard before is over, what is heard now begins")
	errNothingYet = errors.New("no input has come yet")
)

// source yields the inputs of a live session: first what a resumed one heard before,
// then errPastEnds once, then what is heard now. It never waits, and does nothing but
// read.
type source struct {
	past   *recording.SegmentReader // nil: nothing was heard before, or all of it was read
	seq    *port.Sequencer
	number int64 // of the latest input; of one of the past: of the last that was recorded

	batch *port.Batch
	at    int // of the next input in batch
}

// Next implements engine.Source. errNothingYet: ask again when there are inputs.
func (s *source) Next(in *event.Input) error {
	if s.past != nil {
		return s.nextOfPast(in)
	}
	if s.betweenBatches() {
		b, ended := s.seq.Take(port.Judge)
		switch {
		case ended:
			return io.EOF
		case b == nil:
			return errNothingYet
		}
		s.batch, s.at = b, 0
	}
	*in, s.number = s.batch.Input(s.at), s.batch.First+int64(s.at)
	s.at++
	return nil
}

func (s *source) nextOfPast(in *event.Input) error {
	err := s.past.Next(in)
	if errors.Is(err, io.EOF) {
		s.past = nil
		return errPastEnds
	}
	return err
}

// betweenBatches reports whether all that was taken was yielded.
func (s *source) betweenBatches() bool { return s.batch == nil || s.at == s.batch.Len() }
