// Package session keeps one sitting at the bench with one model: a folder of
// plain files that can be zipped, mailed and kept with the model.
//
//	sheet.yaml         the sheet as it was when the session began
//	recording.pcapng   every input, as it came
//	timeline.jsonl     every event, as it was judged at the bench
//	timeline-judged-again-ID.jsonl
//	                   the events that another build makes of the same recording,
//	                   where it resumed the session and they differ; ID begins
//	                   that build's fingerprint
//	checkpoints.jsonl  states of the bench, so that resuming need not begin at
//	                   the start; it may be deleted
//	faults.log         where judgement failed, if it did, for those who mend it
//	lock               held while a daemon runs on the folder
package session

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/gofrs/flock"

	"benchproof.example/monitor/sheet"
)

// Folder is the folder of a session.
type Folder string

// Sheet is the file of the sheet.
func (f Folder) Sheet() string { return filepath.Join(string(f), "sheet.yaml") }

// Recording is the file of inputs.
func (f Folder) Recording() string { return filepath.Join(string(f), "recording.pcapng") }

// Timeline is the file of events.
func (f Folder) Timeline() string { return filepath.Join(string(f), "timeline.jsonl") }

// Checkpoints is the file of states.
func (f Folder) Checkpoints() string { return filepath.Join(string(f), "checkpoints.jsonl") }

// Faults is the file that says where judgement failed.
func (f Folder) Faults() string { return filepath.Join(string(f), "faults.log") }

// JudgedAgain is the file of events of another build than the timeline's, named by
// its fingerprint.
func (f Folder) JudgedAgain(judge string) string {
	id := cmp.Or(judge[:min(8, len(judge))], "unknown")
	return filepath.Join(string(f), "timeline-judged-again-"+id+".jsonl")
}

func (f Folder) lock() string { return filepath.Join(string(f), "lock") }

var (
	// ErrBusy says that another daemon runs on the folder.
	ErrBusy = errors.New("another benchproof is at work in this session")
	// ErrOtherSheet says that the session was begun with another sheet.
	ErrOtherSheet = errors.New("the session was begun with another sheet")
)

// Exists reports whether the folder holds a session.
func (f Folder) Exists() bool {
	_, err := os.Stat(f.Recording())
	return err == nil
}

// ReadSheet reads the sheet that the folder keeps.
func (f Folder) ReadSheet() (*sheet.Sheet, error) {
	text, err := os.ReadFile(f.Sheet())
	if err != nil {
		return nil, fmt.Errorf("session %s: %w", string(f), err)
	}
	return sheet.Read(f.Sheet(), text)
}

// make makes the folder and takes its lock.
func (f Folder) make() (*flock.Flock, error) {
	if err := os.MkdirAll(string(f), 0o755); err != nil {
		return nil, fmt.Errorf("make the session's folder: %w", err)
	}
	l := flock.New(f.lock())
	ok, err := l.TryLock()
	if err != nil {
		return nil, fmt.Errorf("lock the session's folder: %w", err)
	}
	if !ok {
		return nil, fmt.Errorf("%w: stop it, or name another folder than %s", ErrBusy, string(f))
	}
	return l, nil
}

// keepSheet writes the sheet, or checks that the folder has the same one.
func (f Folder) keepSheet(text []byte) error {
	old, err := os.ReadFile(f.Sheet())
	if errors.Is(err, fs.ErrNotExist) {
		if err := writeSynced(f.Sheet(), text); err != nil {
			return fmt.Errorf("keep the sheet: %w", err)
		}
		return nil
	}
	if err != nil {
		return fmt.Errorf("read the session's sheet: %w", err)
	}
	if string(old) != string(text) {
		return fmt.Errorf("%w: judge it anew with replay --sheet, or begin another session folder than %s", ErrOtherSheet, string(f))
	}
	return nil
}

func writeSynced(path string, text []byte) error {
	w, err := os.Create(path)
	if err != nil {
		return err
	}
	_, err = w.Write(text)
	return errors.Join(err, w.Sync(), w.Close())
}
