package session

import (
	"bytes"
	"fmt"
	"maps"
	"path/filepath"
	"slices"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/timeline"
)

// history is what a resumed session heard before it was cut off, replayed from the
// last checkpoint. It is compared with the journal; what the journal lacks is
// appended, unless another build judged then.
type history struct {
	reader     *recording.SegmentReader
	whole      bool             // replayed from the start
	harmed     bool             // the journal is not as it was written
	lacking    int              // of those this judgement has
	known      map[int64]string // journal lines since the checkpoint, by number, where it is harmed
	past       *pastLines       // or: the same, in order
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
	was, known := p.journalHas(e.Seq)
	switch {
	case known && was != string(line):
		p.other = true
		if p.differs == 0 {
			p.differs = e.Seq
		}
	case known && e.Kind == event.SessionResumed:
		p.other = false
	}
	if !known && e.Seq <= p.journalled {
		p.lacking++
	}
	return e.Seq > p.journalled && !p.other
}

// journalHas is the line of the event of a number, if the journal had it.
func (p *history) journalHas(seq int64) (line string, known bool) {
	if p.past != nil {
		return p.past.line(seq)
	}
	line, known = p.known[seq]
	return line, known
}

// openKnown has the lines behind the event of a number. Those of a harmed journal may
// stand in any order.
func (p *history) openKnown(in files.Folder, after int64) (err error) {
	if p.harmed {
		p.known, err = journalLines(in, after)
		return err
	}
	p.past, err = openPastLines(in, after)
	return err
}

// close closes what is read.
func (p *history) close() {
	_ = p.reader.Close()
	if p.past != nil {
		_ = p.past.file.Close()
	}
}

// mended is the journal with what it lacked, by number; nil where it lacks nothing, or
// where another build judged.
func (p *history) mended() []byte {
	if !p.harmed || !p.whole || p.differs != 0 {
		return nil
	}
	all := map[int64]string{}
	for line := range bytes.Lines(p.lines) {
		if e, err := timeline.Parse(bytes.TrimSuffix(line, []byte("\n"))); err == nil {
			all[e.Seq] = string(line)
		}
	}
	maps.Copy(all, p.known) // of a recording gap the journal alone has events
	var text []byte
	for _, seq := range slices.Sorted(maps.Keys(all)) {
		text = append(text, all[seq]...)
	}
	return text
}

// keepSecondJudgement writes the second judgement beside the journal and says so.
func (p *history) keepSecondJudgement(in files.Folder, name string) error {
	if list := p.reader.Thinned(); len(list) > 0 {
		return fmt.Errorf(cannotBeWhole+": %s was thinned; the timeline stays as it is", list[0].File)
	}
	found := "the recording, judged again, gives another event %d than the timeline has: " +
		"another build judged it then; the timeline stays as it is"
	if p.reader.DamageCount() > 0 {
		found = "the recording is damaged and, judged again, gives another event %d than the timeline has; the timeline stays as it is"
	}
	if !p.whole {
		return fmt.Errorf(found, p.differs)
	}
	if err := files.Replace(in, name, p.lines); err != nil {
		return fmt.Errorf(found+"; this build's judgement could not be kept beside it: %w", p.differs, err)
	}
	return fmt.Errorf(found+"; this build's judgement of what was recorded until now is in %s", p.differs, filepath.Join(in.Path(), name))
}

// journalLines reads the lines after the event of a number.
func journalLines(in files.Folder, after int64) (map[int64]string, error) {
	f, err := in.Open(TimelineFile)
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
