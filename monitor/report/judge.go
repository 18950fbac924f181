// Package report makes the record of a session's folder, by judging its recording
// once more.
//
// A report is evidence about the set-up. It is never a clearance to fly, and it
// says what it did not look at.
package report

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/session"
)

// ErrNoSession says that a folder holds nothing that a record can be made of.
var ErrNoSession = errors.New("no session")

// FromRecording judges what a session recorded, once, and returns its record. It
// ends with the error of ctx once that is done.
func FromRecording(ctx context.Context, folder session.Folder) (*record.Record, error) {
	s, text, err := sheetOf(folder)
	if err != nil {
		return nil, err
	}
	g := record.NewGathering(s)
	replay, err := session.OpenReplay(folder, s, g.OnEvent)
	if err != nil {
		return nil, fmt.Errorf("make the record: %w", err)
	}
	judged := func(in *event.Input) { g.Judged(in, replay.Engine) }
	if err := engine.Run(engine.Until(ctx, replay.Source), replay.Engine, judged); err != nil {
		replay.Close()
		return nil, fmt.Errorf("make the record: %w", err)
	}
	flaws := replay.Close()
	r, err := g.Record(replay.Engine, string(text), flaws)
	if err != nil {
		why := append(flaws, "nothing is recorded yet")
		return nil, fmt.Errorf("%w: %s has no beginning of a session: %s", ErrNoSession, string(folder), why[0])
	}
	return r, nil
}

// Load is the record of a folder. Where there is a recording it is judged anew, so
// that two sessions are judged by one program; else record.json is what there
// is. A record.json of a newer program is refused either way: that program saw
// more in the recording than this one would.
func Load(ctx context.Context, folder string) (*record.Record, error) {
	kept, err := read(session.Folder(folder))
	switch {
	case errors.Is(err, record.ErrNewer):
		return nil, fmt.Errorf("%s: %w", filepath.Join(folder, record.RecordFile), err)
	case session.Folder(folder).Exists():
		return FromRecording(ctx, session.Folder(folder))
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("%w: %s has neither a recording nor a record; name the folder of a session", ErrNoSession, folder)
	case err != nil:
		return nil, fmt.Errorf("%s: %w", filepath.Join(folder, record.RecordFile), err)
	}
	return kept, nil
}

// read reads the record that a folder keeps.
func read(folder session.Folder) (*record.Record, error) {
	in, err := folder.Open()
	if err != nil {
		return nil, err
	}
	data, err := files.Read(in, record.RecordFile, files.MaxRecord)
	if err = errors.Join(err, in.Close()); err != nil {
		return nil, err
	}
	return record.Decode(data)
}
