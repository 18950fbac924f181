package session

import (
	"errors"

	"github.com/gofrs/flock"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/timeline"
)

// files are those of a session's folder that are open while it is heard; nil: not yet.
type files struct {
	lock        *flock.Flock
	journal     *timeline.Journal
	checkpoints *crclog.Log
	recording   File
	size        int64 // of the recording, when it was opened
}

// sync returns when all that was written is on the disk. (Without a checkpoint resuming
// takes longer, no more.)
func (f *files) sync() error { return errors.Join(f.recording.Sync(), f.journal.Sync()) }

// close closes those that are open, and lets go of the folder.
func (f *files) close() (err error) {
	if f.recording != nil {
		err = f.recording.Close()
	}
	if f.journal != nil {
		err = errors.Join(err, f.journal.Close())
	}
	if f.checkpoints != nil {
		err = errors.Join(err, f.checkpoints.Close())
	}
	if f.lock != nil {
		err = errors.Join(err, f.lock.Unlock())
	}
	return err
}
