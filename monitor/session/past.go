package session

import (
	"fmt"
	"io"
	"os"

	"benchproof.example/monitor"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/sealed"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/timeline"
)

// past is what a resumed session heard before it was cut off, replayed from the
// last checkpoint. It is compared with the journal; what the journal lacks is
// appended.
type past struct {
	file       *os.File
	reader     *recording.Reader
	known      map[int64]string // journal lines since the checkpoint, by number
	journalled int64            // number of the last line in the journal
	differs    int64            // number of the first event that differs, 0 for none
}

func (p *past) next(in *fact.Input) error { return p.reader.Next(in) }

// hear reports whether an event is news that the journal lacks.
func (p *past) hear(e *fact.Event, wall int64) bool {
	if e.Seq > p.journalled {
		return true
	}
	line, err := timeline.Line(nil, e, wall)
	if was, ok := p.known[e.Seq]; p.differs == 0 && (err != nil || ok && was != string(line)) {
		p.differs = e.Seq
	}
	return false
}

// done closes the past and says what should be known about it.
func (p *past) done() string {
	_ = p.file.Close()
	if p.differs == 0 {
		return ""
	}
	return fmt.Sprintf("the recording, judged again, gives another event %d than the timeline has: "+
		"another build judged it then; the timeline stays as it is", p.differs)
}

// lastState restores the latest checkpoint that this build can use, or starts
// from the beginning.
func lastState(file io.ReadSeeker, f Folder, s *sheet.Sheet, inputs int64, hear monitor.Hear) (*monitor.Bench, *recording.Reader, error) {
	list, err := recording.ReadCheckpoints(f.Checkpoints())
	if err != nil {
		return nil, nil, err
	}
	for i := len(list) - 1; i >= 0; i-- {
		if list[i].Input > inputs {
			continue // it is ahead of a recording whose end was lost
		}
		bench, err := monitor.Restore(list[i].Bench, s, hear)
		if err != nil {
			continue // another build's
		}
		reader, err := recording.NewReaderAt(file, list[i].Position)
		if err != nil {
			continue
		}
		return bench, reader, nil
	}
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return nil, nil, fmt.Errorf("resume: %w", err)
	}
	return monitor.New(s, hear), recording.NewReader(file), nil
}

// journalLines reads the lines after the event of a number.
func journalLines(path string, after int64) (map[int64]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("resume: %w", err)
	}
	defer func() { _ = f.Close() }()
	known := map[int64]string{}
	_, err = sealed.Scan(f, func(_ int64, line []byte, damage error) error {
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
