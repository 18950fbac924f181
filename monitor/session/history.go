package session

import (
	"fmt"
	"io"
	"os"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/timeline"
)

// history is what a resumed session heard before it was cut off, replayed from the
// last checkpoint. It is compared with the journal; what the journal lacks is
// appended, unless another build judged then.
type history struct {
	file       io.Closer // that the reader reads
	reader     *recording.Reader
	whole      bool             // replayed from the start
	known      map[int64]string // journal lines since the checkpoint, by number
	journalled int64            // number of the last line in the journal
	other      bool             // the journal is another build's, here
	differs    int64            // number of the first event that differs, 0 for none
	lines      []byte           // the timeline as this build has it, if whole
}

// compare takes an event of this build's judgement and reports whether it is news that
// the journal lacks. Where another build judged, numbers mean something else. Where
// the session was resumed by this build, as the journal has it too, its own part
// begins.
func (p *history) compare(e *event.Event, wall int64) bool {
	line, err := timeline.Line(nil, e, wall)
	if err != nil {
		return false // nor could the journal have it
	}
	if p.whole {
		p.lines = append(p.lines, line...)
	}
	was, known := p.known[e.Seq]
	switch {
	case known && was != string(line):
		p.other = true
		if p.differs == 0 {
			p.differs = e.Seq
		}
	case known && e.Kind == event.SessionResumed:
		p.other = false
	}
	return e.Seq > p.journalled && !p.other
}

// keepSecondJudgement writes the second judgement beside the journal and says so.
func (p *history) keepSecondJudgement(path string) error {
	const found = "the recording, judged again, gives another event %d than the timeline has: " +
		"another build judged it then; the timeline stays as it is"
	if !p.whole {
		return fmt.Errorf(found, p.differs)
	}
	if err := writeSynced(path, p.lines); err != nil {
		return fmt.Errorf(found+"; this build's judgement could not be kept beside it: %w", p.differs, err)
	}
	return fmt.Errorf(found+"; this build's judgement of what was recorded until now is in %s", p.differs, path)
}

// journalLines reads the lines after the event of a number.
func journalLines(path string, after int64) (map[int64]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("resume: %w", err)
	}
	defer func() { _ = f.Close() }()
	known := map[int64]string{}
	_, err = crclog.Scan(f, func(_ int64, line []byte, damage error) error {
		if damage != nil {
			return nil // it stays where it is
		}
		e, err := timeline.Parse(line)
		if err == nil && e.Seq > after {
			known[e.Seq] = string(line) + "\n"
		}
		return err
	})
	return known, err
}
