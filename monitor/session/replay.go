package session

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
)

// Replay judges what a session recorded, from the start or from one of its
// checkpoints.
type Replay struct {
	Engine *engine.Engine
	Source engine.Source
	reader *recording.Reader
	file   io.Closer
}

// OpenReplay opens what a session recorded. hear gets the events.
func OpenReplay(folder Folder, s *sheet.Sheet, hear engine.EventFunc) (*Replay, error) {
	r, err := reading(folder, recording.OpenSegments)
	if err != nil {
		return nil, fmt.Errorf("replay: %w", err)
	}
	return replayOf(r, s, hear), nil
}

func replayOf(r *recording.SegmentReader, s *sheet.Sheet, hear engine.EventFunc) *Replay {
	return &Replay{Engine: engine.New(s, hear), Source: r, reader: &r.Reader, file: r}
}

// OpenReplayAt opens what a session recorded at a checkpoint that was taken under the
// same sheet by the same build.
func OpenReplayAt(folder Folder, c *recording.Checkpoint, s *sheet.Sheet, hear engine.EventFunc) (*Replay, error) {
	bench, err := engine.Restore(c.Engine, s, hear)
	if err != nil {
		return nil, fmt.Errorf("replay from input %d: %w", c.Input, err)
	}
	r, err := reading(folder, func(in files.Folder) (*recording.SegmentReader, error) {
		return recording.OpenSegmentsAt(in, c.Position)
	})
	if err != nil {
		return nil, fmt.Errorf("replay: %w", err)
	}
	return &Replay{Engine: bench, Source: r, reader: &r.Reader, file: r}, nil
}

// OpenReplayNearEnd opens what a session recorded at its newest checkpoint that fits, or at
// its beginning where none does. It is for who asks what the bench is like at the end, and not
// what was reported on the way. judge is the Fingerprint of this program, "" where that is not
// known.
func OpenReplayNearEnd(folder Folder, judge string, s *sheet.Sheet, hear engine.EventFunc) (*Replay, error) {
	list, err := folder.checkpointsOf(judge)
	if err != nil {
		return nil, fmt.Errorf("replay: %w", err)
	}
	for i := len(list) - 1; i >= 0; i-- {
		if r, err := OpenReplayAt(folder, &list[i], s, hear); err == nil {
			return r, nil // another is of other fields, or ahead of a recording whose end was lost
		}
	}
	return OpenReplay(folder, s, hear)
}

// checkpointsOf are the checkpoints in a folder that a judge left of the recording there.
func (f Folder) checkpointsOf(judge string) ([]recording.Checkpoint, error) {
	r, err := reading(f, recording.OpenSegments)
	if err != nil {
		return nil, err
	}
	defer func() { _ = r.Close() }()
	var first event.Input
	if err := r.Next(&first); err != nil || judge == "" || r.Session() == "" {
		return nil, nil // who judges all of it finds what is wrong
	}
	in, err := f.Open()
	if err != nil {
		return nil, err
	}
	list, err := recording.ReadCheckpoints(in, CheckpointsFile)
	list = slices.DeleteFunc(list, func(c recording.Checkpoint) bool { return c.Session != r.Session() || c.Judge != judge })
	return list, errors.Join(err, in.Close())
}

// NewReplay judges a recording that lies by itself, one file; Close closes it.
func NewReplay(f io.ReadCloser, s *sheet.Sheet, hear engine.EventFunc) *Replay {
	r := recording.NewReader(f)
	return &Replay{Engine: engine.New(s, hear), Source: r, reader: r, file: f}
}

// Begun is how the session began, by the first input of its recording.
func (f Folder) Begun() (start event.Start, err error) {
	r, err := reading(f, recording.OpenSegments)
	if err != nil {
		return start, err
	}
	defer func() { _ = r.Close() }()
	var in event.Input
	if err := r.Next(&in); err != nil {
		return start, err
	}
	if err := json.Unmarshal(in.Data, &start); err != nil || in.Kind != event.InputBegin {
		return start, errors.Join(errors.New("the recording does not begin with a session"), err)
	}
	return start, nil
}

// reading opens the recording in a folder. Closing it closes the folder.
func reading(folder Folder, open func(files.Folder) (*recording.SegmentReader, error)) (*recording.SegmentReader, error) {
	in, err := folder.Open()
	if err != nil {
		return nil, err
	}
	r, err := open(in)
	if err != nil {
		return nil, errors.Join(err, in.Close())
	}
	r.ClosesFolder()
	return r, nil
}

// cannotBeWhole begins what is said of a thinned session.
const cannotBeWhole = "the session can't be judged again whole"

// Close closes the recording and says what was found wrong with it.
func (r *Replay) Close() (notices []string) {
	_ = r.file.Close()
	if first := r.reader.First(); first > 0 {
		notices = append(notices, isPart(first, r.reader.Session()))
	}
	for _, t := range r.reader.Thinned() {
		notices = append(notices, fmt.Sprintf(cannotBeWhole+": %s was thinned, %d inputs were taken away from it", t.File, t.Inputs))
	}
	for _, d := range r.reader.Damages() {
		notices = append(notices, fmt.Sprintf("the recording is damaged %s", d))
	}
	if at, torn := r.reader.Tail(); torn {
		notices = append(notices, fmt.Sprintf("the recording ends in the middle of an input, at byte %d: its end was never written", at))
	}
	return notices
}

// isPart says of a recording that begins in the middle what that means.
func isPart(first int64, session string) string {
	of := "a recording"
	if session != "" {
		of = "the recording of session " + session
	}
	return fmt.Sprintf("this is a part of %s: it begins with input %d, and what was heard before is not in it. "+
		"A session is judged from its beginning on, so of a part little or nothing can be judged, and that a thing is not seen here proves nothing: "+
		"judge the session itself, or an export that begins where it began", of, first)
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
