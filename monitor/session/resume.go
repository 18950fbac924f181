package session

import (
	"errors"
	"fmt"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/record"
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
	kept       []keptCheckpoint // oldest first
	of         identity
	sheet      *sheet.Sheet
	inputs     int64 // that were recorded
	journalled int64 // number of the last event in the journal
	harmed     bool  // the journal is not as it was written: all is judged once more
	onEvent    engine.EventFunc
}

// judgement is an engine and what is gathered beside it for the record.
type judgement struct {
	engine *engine.Engine
	gather *record.Gathering
}

func newJudgement(s *sheet.Sheet, onEvent engine.EventFunc) *judgement {
	return &judgement{engine.New(s, onEvent), record.NewBoundedGathering(s)}
}

// restoreJudgement makes them as they were at a checkpoint. One that was taken without what
// was gathered leaves the record to who judges the recording.
func restoreJudgement(c *recording.Checkpoint, s *sheet.Sheet, onEvent engine.EventFunc) (*judgement, error) {
	e, err := engine.Restore(c.Engine, s, onEvent)
	if err != nil {
		return nil, err
	}
	if c.Record == nil {
		g := record.NewBoundedGathering(s)
		g.GiveUp()
		return &judgement{e, g}, nil
	}
	g, err := record.RestoreGathering(c.Record, s)
	return &judgement{e, g}, err
}

// resume makes judgement as it was at the last checkpoint that fits, and the history
// that it judges first: what was recorded since then. What is appended to the recording
// from now on is not past.
func (r *resumption) resume() (*judgement, *history, error) {
	var err error
	h := &history{journalled: r.journalled, harmed: r.harmed}
	was, reader := r.lastState()
	if h.reader = reader; was == nil {
		if h.reader, err = recording.OpenSegments(r.folder); err != nil {
			return nil, nil, fmt.Errorf("resume: %w", err)
		}
		was, h.whole = newJudgement(r.sheet, r.onEvent), true
	}
	h.reader.Until(r.inputs)
	if err = h.openKnown(r.folder, was.engine.Seq()); err != nil {
		return nil, nil, errors.Join(err, h.reader.Close())
	}
	return was, h, nil
}

// lastState restores the latest checkpoint that fits; nil if there is none.
func (r *resumption) lastState() (*judgement, *recording.SegmentReader) {
	for i := len(r.kept) - 1; i >= 0 && !r.harmed; i-- {
		if !r.fits(&r.kept[i].of) {
			continue
		}
		c, ok := r.kept[i].whole(r.folder)
		if !ok {
			continue // an earlier one may be as it was written
		}
		was, err := restoreJudgement(&c, r.sheet, r.onEvent)
		if err != nil {
			continue // it says what it is not
		}
		reader, err := recording.OpenSegmentsAt(r.folder, c.Position)
		if err != nil {
			continue
		}
		return was, reader
	}
	return nil, nil
}

// fits reports whether a checkpoint is of this recording and this judge, and ahead neither
// of a recording nor of a journal whose end was lost: what the journal lacks is judged
// once more.
func (r *resumption) fits(c *recording.Checkpoint) bool {
	return c.Session == r.of.session && c.Input <= r.inputs && c.Seq <= r.journalled+1 && c.Judge != "" && c.Judge == r.of.judge()
}
