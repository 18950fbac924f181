package session

import (
	"errors"
	"fmt"
	"os"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
)

// Replay judges what a session recorded, from the start or from one of its
// checkpoints.
type Replay struct {
	Engine *engine.Engine
	Source engine.Source
	reader *recording.Reader
	file   *os.File
}

// OpenReplay opens a recording. hear gets the events.
func OpenReplay(path string, s *sheet.Sheet, hear engine.EventFunc) (*Replay, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("replay: %w", err)
	}
	r := recording.NewReader(f)
	return &Replay{Engine: engine.New(s, hear), Source: r, reader: r, file: f}, nil
}

// OpenReplayAt opens a recording at a checkpoint that was taken under the same
// sheet by the same build.
func OpenReplayAt(path string, c *recording.Checkpoint, s *sheet.Sheet, hear engine.EventFunc) (*Replay, error) {
	bench, err := engine.Restore(c.Engine, s, hear)
	if err != nil {
		return nil, fmt.Errorf("replay from input %d: %w", c.Input, err)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("replay: %w", err)
	}
	r, err := recording.NewReaderAt(f, c.Position)
	if err != nil {
		return nil, errors.Join(fmt.Errorf("replay: %w", err), f.Close())
	}
	return &Replay{Engine: bench, Source: r, reader: r, file: f}, nil
}

// Close closes the recording and says what was found wrong with it.
func (r *Replay) Close() (notices []string) {
	_ = r.file.Close()
	for _, d := range r.reader.Damages() {
		notices = append(notices, fmt.Sprintf("the recording is damaged at byte %d: %s", d.Offset, d.Why))
	}
	if at, torn := r.reader.Tail(); torn {
		notices = append(notices, fmt.Sprintf("the recording ends in the middle of an input, at byte %d: its end was never written", at))
	}
	return notices
}

// Pieces cuts the bytes of a source into pieces of at most n that carry the same
// date. It makes no difference to what is judged.
type Pieces struct {
	Of   engine.Source
	N    int
	rest event.Input
}

// Next implements engine.Source.
func (p *Pieces) Next(in *event.Input) error {
	if len(p.rest.Data) == 0 {
		if err := p.Of.Next(&p.rest); err != nil {
			return err
		}
	}
	*in = p.rest
	if p.rest.Kind == event.InputBytes || p.rest.Kind == event.InputBadBytes {
		n := min(p.N, len(in.Data))
		in.Data, p.rest.Data = in.Data[:n], p.rest.Data[n:]
	} else {
		p.rest.Data = nil
	}
	return nil
}
