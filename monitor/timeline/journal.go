package timeline

import (
	"bytes"
	"errors"
	"fmt"
	"os"

	"benchproof.example/monitor/crclog"
)

// Journal appends events to a file. It is for one goroutine.
type Journal struct {
	log  *crclog.Log
	last int64
}

// Opened is what Open found.
type Opened struct {
	Cut     int64    // bytes of torn tail that were cut, 0 for none
	Aside   string   // the file that keeps them
	Events  int64    // whole events in the file
	Damages []string // stretches of damage in the middle, left as they are; at most maxDamages
}

const maxDamages = 100

// Open opens the journal at path, or makes it. A torn tail is cut and kept
// aside; damage in the middle stays. The journal of a newer program is refused.
func Open(path string) (*Journal, Opened, error) {
	log, cut, aside, err := crclog.OpenLog(path)
	if err != nil {
		return nil, Opened{Cut: cut, Aside: aside}, fmt.Errorf("open timeline: %w", err)
	}
	j, found := New(log, 0), Opened{Cut: cut, Aside: aside}
	if err := j.inspect(path, &found); err != nil {
		return nil, found, errors.Join(fmt.Errorf("open timeline %s: %w", path, err), log.Close())
	}
	return j, found, nil
}

// New appends to a log that ends with the event of the given number, 0 for none.
func New(log *crclog.Log, last int64) *Journal { return &Journal{log: log, last: last} }

// inspect reads what the file holds.
func (j *Journal) inspect(path string, found *Opened) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	_, err = Scan(f, func(_ int64, e *Entry, damage error) error {
		if damage == nil {
			found.Events++
			j.last = max(j.last, e.Seq)
		} else if len(found.Damages) < maxDamages {
			found.Damages = append(found.Damages, damage.Error())
		}
		return nil
	})
	return errors.Join(err, f.Close())
}

// Append writes whole lines, as Line renders them, in one call: all of them or,
// after an error, none. Their numbers must go on from LastSeq.
func (j *Journal) Append(lines []byte) error {
	if len(lines) == 0 {
		return nil
	}
	last, err := lastSeq(lines)
	if err != nil {
		return fmt.Errorf("append to timeline: %w", err)
	}
	if last <= j.last {
		return fmt.Errorf("append to timeline: got event %d, want one after %d", last, j.last)
	}
	if err := j.log.Append(lines); err != nil {
		return fmt.Errorf("append to timeline: %w", err)
	}
	j.last = last
	return nil
}

// lastSeq reads the number of the last of some whole lines.
func lastSeq(lines []byte) (int64, error) {
	line, whole := bytes.CutSuffix(lines, []byte("\n"))
	if !whole {
		return 0, errors.New("got bytes that do not end in a newline, want whole lines")
	}
	e, err := Parse(line[bytes.LastIndexByte(line, '\n')+1:])
	return e.Seq, err
}

// LastSeq is the number of the last event, 0 for none.
func (j *Journal) LastSeq() int64 { return j.last }

// Good is how many bytes of whole lines the file holds.
func (j *Journal) Good() int64 { return j.log.Good() }

// Sync returns when all that was appended is on the disk.
func (j *Journal) Sync() error { return j.log.Sync() }

// Close closes the file, unsynced.
func (j *Journal) Close() error { return j.log.Close() }
