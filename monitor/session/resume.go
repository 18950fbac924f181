package session

import (
	"errors"
	"fmt"
	"io"
	"os"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sheet"
)

// identity says of which recording, and by which judge, a checkpoint is.
type identity struct {
	session string        // recording.Identity
	judge   func() string // Fingerprint, "" where it is not known
}

// resumption is what a session goes on from.
type resumption struct {
	folder     Folder
	of         identity
	sheet      *sheet.Sheet
	inputs     int64 // that were recorded
	journalled int64 // number of the last event in the journal
	onEvent    engine.EventFunc
}

// resume makes the engine as it was at the last checkpoint that fits, and the history
// that it judges first: what was recorded since then.
func (r *resumption) resume() (*engine.Engine, *history, error) {
	file, err := os.Open(r.folder.Recording())
	if err != nil {
		return nil, nil, fmt.Errorf("resume: %w", err)
	}
	e, h, err := r.resumeFrom(file)
	if err != nil {
		return nil, nil, errors.Join(err, file.Close())
	}
	return e, h, nil
}

func (r *resumption) resumeFrom(file *os.File) (*engine.Engine, *history, error) {
	// What is there now: the section that is about to be appended is not past.
	info, err := file.Stat()
	if err != nil {
		return nil, nil, fmt.Errorf("resume: %w", err)
	}
	past := io.NewSectionReader(file, 0, info.Size())
	list, err := recording.ReadCheckpoints(r.folder.Checkpoints())
	if err != nil {
		return nil, nil, err
	}
	h := &history{file: file, journalled: r.journalled}
	e, reader := r.lastState(list, past)
	if h.reader = reader; e == nil {
		if _, err := past.Seek(0, io.SeekStart); err != nil {
			return nil, nil, fmt.Errorf("resume: %w", err)
		}
		e, h.reader, h.whole = engine.New(r.sheet, r.onEvent), recording.NewReader(past), true
	}
	h.known, err = journalLines(r.folder.Timeline(), e.Seq())
	return e, h, err
}

// lastState restores the latest checkpoint that fits; nil if there is none.
func (r *resumption) lastState(list []recording.Checkpoint, past io.ReadSeeker) (*engine.Engine, *recording.Reader) {
	for i := len(list) - 1; i >= 0; i-- {
		if !r.fits(&list[i]) {
			continue
		}
		e, err := engine.Restore(list[i].Engine, r.sheet, r.onEvent)
		if err != nil {
			continue // it says what it is not
		}
		reader, err := recording.NewReaderAt(past, list[i].Position)
		if err != nil {
			continue
		}
		return e, reader
	}
	return nil, nil
}

// fits reports whether a checkpoint is of this recording and this judge, and not ahead
// of a recording whose end was lost.
func (r *resumption) fits(c *recording.Checkpoint) bool {
	return c.Session == r.of.session && c.Input <= r.inputs && c.Judge != "" && c.Judge == r.of.judge()
}
