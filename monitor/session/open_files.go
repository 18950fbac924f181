package session

import (
	"errors"
	"sync"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/timeline"
)

// openFiles are the folder of a session and those of its files that are open while it is
// heard; nil: not yet.
type openFiles struct {
	folder      files.Folder
	journal     *timeline.Journal
	checkpoints *checkpointFile

	mu        sync.Locker // held while a file is replaced, synced or compared with its path
	recording *files.Appended
	renamed   bool // names were changed that the disk may not have yet
}

// sync returns when all that was written is on the disk. (Without a checkpoint resuming
// takes longer, no more.)
func (f *openFiles) sync() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return errors.Join(f.syncNames(), f.recording.Sync(), f.journal.Sync())
}

// syncRecording returns when all inputs that were written are on the disk.
func (f *openFiles) syncRecording() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return errors.Join(f.syncNames(), f.recording.Sync())
}

// syncNames makes up for a sync of the folder that failed.
func (f *openFiles) syncNames() error {
	if !f.renamed {
		return nil
	}
	err := f.folder.Sync()
	f.renamed = err != nil
	return err
}

// turnOver closes the open segment under its number, goes over to the next file and gives
// the one before; nil: it goes on with that.
func (f *openFiles) turnOver(next *files.Appended, number int) (before *files.Appended, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	turned, err := recording.TurnOver(f.folder, f.recording, number)
	if turned {
		before, f.recording, f.renamed = f.recording, next, err != nil
	}
	return before, err
}

// rebuildJournal writes the journal anew.
func (f *openFiles) rebuildJournal(text []byte) (aside string, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.journal.Rebuild(text)
}

// displaced is the name of a file that is written to and that its path does not lead to
// any more, "" if all are in their places.
func (f *openFiles) displaced() string {
	f.mu.Lock()
	defer f.mu.Unlock()
	switch {
	case !f.folder.Holds(RecordingFile, f.recording.File()):
		return RecordingFile
	case !f.journal.InPlace():
		return TimelineFile
	}
	return ""
}

// close closes those that are open, and lets go of the folder.
func (f *openFiles) close() (err error) {
	if f.recording != nil {
		err = f.recording.Close()
	}
	if f.journal != nil {
		err = errors.Join(err, f.journal.Close())
	}
	if f.checkpoints != nil {
		err = errors.Join(err, f.checkpoints.close())
	}
	if f.folder != nil {
		err = errors.Join(err, f.folder.Close())
	}
	return err
}
