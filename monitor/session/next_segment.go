package session

import (
	"errors"
	"fmt"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// A segment is closed after so long or so much, whichever comes first: half an hour of a
// bus is 40 MB, which a small board reads in a second when it resumes.
const (
	segmentFor  = 30 * unit.Minute
	segmentSize = 256 << 20 // bytes
)

// segmentIsFull reports whether it is time for the next one.
func (r *recorder) segmentIsFull() bool {
	return r.w.Last().Sub(r.began) >= r.length || r.files.recording.End() >= segmentSize
}

// nextSegment closes the open segment and begins the next. If the disk refuses, the old
// one goes on, and it is tried again when as much has come once more.
func (r *recorder) nextSegment() {
	r.began = r.w.Last()
	err := r.busy.during(r.clock, r.turnOver)
	if err != nil {
		r.trouble(fmt.Errorf("the recording goes on in one long file: %w", err))
	}
}

// turnOver makes the next segment aside and gives both their names: at no moment is an
// input written that a reader of the folder would not find.
func (r *recorder) turnOver() error {
	next := r.w.NextSegment()
	file, err := recording.MakeNext(r.files.folder)
	if err != nil {
		return err
	}
	to := files.NewAppended(file, 0)
	w, err := recording.NewWriter(to, next)
	if err == nil {
		err = errors.Join(w.Flush(), to.Sync())
	}
	if err != nil {
		return errors.Join(err, to.Close())
	}
	old, err := r.files.turnOver(to, next.Segment-1)
	if old == nil {
		return errors.Join(err, to.Close())
	}
	r.w, r.section = w, 0
	r.newest.Store(next.First)
	return errors.Join(err, old.Close())
}
