package session

import (
	"errors"
	"fmt"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
)

// identity says of which recording, and by which judge, a checkpoint is.
type identity struct {
	session string        // identity of the session
	judge   func() string // Fingerprint, "" where it is not known
}

// resumption is what a session goes on from.
type resumption struct {
	folder     files.Folder
	of         identity
	sheet      *sheet.Sheet
	inputs     int64 // that were recorded
	journalled int64 // number of the last event in the journal
	harmed     bool  // the journal is not as it was written: all is judged once more
	onEvent    engine.EventFunc
}

// resume makes the engine as it was at the last checkpoint that fits, and the history
// that it judges first: what was recorded since then. What is appended to the recording
// from now on is not past.
func (r *resumption) resume() (*engine.Engine, *history, error) {
	list, err := recording.ReadCheckpoints(r.folder, CheckpointsFile)
	if err != nil {
		return nil, nil, err
	}
	h := &history{journalled: r.journalled, harmed: r.harmed}
	e, reader := r.lastState(list)
	if h.reader = reader; e == nil {
		if h.reader, err = recording.OpenSegments(r.folder); err != nil {
			return nil, nil, fmt.Errorf("resume: %w", err)
		}
		e, h.whole = engine.New(r.sheet, r.onEvent), true
	}
	h.reader.Until(r.inputs)
	if err = h.openKnown(r.folder, e.Seq()); err != nil {
		return nil, nil, errors.Join(err, h.reader.Close())
	}
	return e, h, nil
}

// lastState restores the latest checkpoint that fits; nil if there is none.
func (r *resumption) lastState(list []recording.Checkpoint) (*engine.Engine, *recording.SegmentReader) {
	for i := len(list) - 1; i >= 0 && !r.harmed; i-- {
		if !r.fits(&list[i]) {
			continue
		}
		e, err := engine.Restore(list[i].Engine, r.sheet, r.onEvent)
		if err != nil {
			continue // it says what it is not
		}
		reader, err := recording.OpenSegmentsAt(r.folder, list[i].Position)
		if err != nil {
			continue
		}
		return e, reader
	}
	return nil, nil
}

// fits reports whether a checkpoint is of this recording and this judge, and ahead neither
// of a recording nor of a journal whose end was lost: what the journal lacks is judged
// once more.
func (r *resumption) fits(c *recording.Checkpoint) bool {
	return c.Session == r.of.session && c.Input <= r.inputs && c.Seq <= r.journalled+1 && c.Judge != "" && c.Judge == r.of.judge()
}
