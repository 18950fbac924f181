// Package session keeps one sitting at the bench with one model: a folder of
// plain files that can be zipped, mailed and kept with the model.
//
//	sheet.yaml         the sheet as it was when the session began
//	papers.yaml        the papers of the model, as the latest sitting found them
//	recording.pcapng   every input, as it came
//	recording-000001.pcapng.zst, ...
//	                   the parts of a long recording before that, packed
//	timeline.jsonl     every event, as it was judged at the bench
//	timeline-judged-again-ID.jsonl
//	                   the events that another build makes of the same recording,
//	                   where it resumed the session and they differ; ID begins
//	                   that build's fingerprint
//	checkpoints.jsonl  states of the bench, so that resuming need not begin at
//	                   the start; it may be deleted
//	draft.json         answers of a draft that is not complete
//	drafted.yaml, drafted-2.yaml, ...
//	                   sheets that were drafted while it listened without one
//	faults.log         where judgement failed, if it did, for those who mend it
//	lock               held while a daemon runs on the folder
package session

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
)

// Folder is the path of the folder of a session.
type Folder string

// The names of the files in it.
const (
	SheetFile       = "sheet.yaml"
	RecordingFile   = recording.OpenName
	TimelineFile    = "timeline.jsonl"
	CheckpointsFile = "checkpoints.jsonl"
	FaultsFile      = "faults.log"
	PapersFile      = "papers.yaml"
	DraftFile       = "draft.json"
	DraftedFile     = "drafted.yaml" // the first; behind the name of the others stands their number

	lockFile = "lock"
)

// JudgedAgain is the name of the file of events of another build than the timeline's, by
// its fingerprint.
func JudgedAgain(judge string) string {
	return "timeline-judged-again-" + cmp.Or(judge[:min(8, len(judge))], "unknown") + ".jsonl"
}

var (
	// ErrBusy says that another daemon runs on the folder.
	ErrBusy = errors.New("another benchproof is at work in this session")
	// ErrOtherSheet says that the session was begun with another sheet.
	ErrOtherSheet = errors.New("the session was begun with another sheet")
)

// Open opens a folder that is there.
func (f Folder) Open() (files.Folder, error) {
	in, err := files.OpenFolder(string(f))
	if err != nil {
		return nil, fmt.Errorf("session %s: %w", string(f), err)
	}
	return in, nil
}

// Path is the path of one of its files.
func (f Folder) Path(name string) string { return filepath.Join(string(f), name) }

// Exists reports whether the folder holds a session.
func (f Folder) Exists() bool {
	in, err := f.Open()
	if err != nil {
		return false
	}
	defer func() { _ = in.Close() }()
	return recorded(in)
}

// recorded reports whether a folder has a recording, or something in its place.
func recorded(in files.Folder) bool {
	list, err := recording.Segments(in)
	return err != nil || len(list) > 0
}

// SheetText is the sheet that the folder keeps.
func (f Folder) SheetText() ([]byte, error) {
	in, err := f.Open()
	if err != nil {
		return nil, err
	}
	text, err := files.Read(in, SheetFile, files.MaxText)
	if err = errors.Join(err, in.Close()); err != nil {
		return nil, fmt.Errorf("session %s: %w", string(f), err)
	}
	return text, nil
}

// ReadSheet reads the sheet that the folder keeps.
func (f Folder) ReadSheet() (*sheet.Sheet, error) {
	text, err := f.SheetText()
	if err != nil {
		return nil, err
	}
	return sheet.Read(f.Path(SheetFile), text)
}

// lock keeps others off the folder.
func lock(in files.Folder) error {
	got, err := in.Lock(lockFile)
	switch {
	case err != nil:
		return fmt.Errorf("lock the session's folder: %w", err)
	case !got:
		return fmt.Errorf("%w: stop it, or name another folder than %s", ErrBusy, in.Path())
	}
	return nil
}

// keepSheet writes the sheet, or checks that the folder has the same one. A sheet of no
// bytes is what a power cut leaves of one that was being kept, when nothing was recorded
// yet.
func keepSheet(in files.Folder, text []byte) error {
	old, err := files.Read(in, SheetFile, files.MaxText)
	if errors.Is(err, fs.ErrNotExist) || err == nil && len(old) == 0 && !recorded(in) {
		if err := files.Replace(in, SheetFile, text); err != nil {
			return fmt.Errorf("keep the sheet: %w", err)
		}
		return nil
	}
	if err != nil {
		return fmt.Errorf("read the session's sheet: %w", err)
	}
	if string(old) != string(text) {
		return fmt.Errorf("%w: judge it anew with replay --sheet, or begin another session folder than %s", ErrOtherSheet, in.Path())
	}
	return nil
}
