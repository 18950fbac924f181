package timeline

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/unit"
)

// Entry is an event as the journal holds it.
type Entry struct {
	Format int             `json:"format"`
	Seq    int64           `json:"seq"`
	At     unit.Time       `json:"t_ns"`
	From   unit.Time       `json:"from_ns"`
	Wall   time.Time       `json:"at"` // UTC, to the millisecond
	Kind   string          `json:"kind"`
	About  string          `json:"about"`
	Data   json.RawMessage `json:"data"` // an object
}

// ErrNewer says that a newer program wrote the line.
var ErrNewer = errors.New("a newer program wrote this timeline")

// Parse reads a journal line, given without its newline. The entry keeps no part
// of it.
func Parse(line []byte) (Entry, error) {
	body, err := crclog.Check(line)
	if err != nil {
		return Entry{}, fmt.Errorf("timeline line: %w", err)
	}
	var version struct {
		Format int `json:"format"`
	}
	if err := json.Unmarshal(body, &version); err != nil {
		return Entry{}, fmt.Errorf("timeline line: %w", err)
	}
	if version.Format > Format {
		return Entry{}, fmt.Errorf("%w: its format is %d, this program reads %d; use the newer program", ErrNewer, version.Format, Format)
	}
	var e Entry
	if err := json.Unmarshal(body, &e); err != nil {
		return Entry{}, fmt.Errorf("timeline line: %w", err)
	}
	return e, e.check()
}

func (e *Entry) check() error {
	switch {
	case e.Format < 1:
		return fmt.Errorf("timeline line: got format %d, want 1 to %d", e.Format, Format)
	case e.Seq < 1:
		return fmt.Errorf("timeline line: got seq %d, want 1 or more", e.Seq)
	case e.Kind == "":
		return fmt.Errorf("timeline line %d: it has no kind", e.Seq)
	case !bytes.HasPrefix(e.Data, []byte("{")):
		return fmt.Errorf("timeline line %d: got data %.20q, want an object", e.Seq, e.Data)
	}
	return nil
}

// Scan reads a journal and gives each event to f with the offset of its line. A
// stretch of damaged lines in the middle is given once, as a *crclog.Damage,
// with a zero entry. A line that is whole but no timeline line, or of a newer
// program, ends the walk with an error, as does an error from f. tail is where
// good lines end.
func Scan(r io.Reader, f func(offset int64, e *Entry, damage error) error) (tail int64, err error) {
	return crclog.Scan(r, func(offset int64, line []byte, damage error) error {
		var e Entry
		if damage == nil {
			var err error
			if e, err = Parse(line); err != nil {
				return fmt.Errorf("at byte %d: %w", offset, err)
			}
		}
		return f(offset, &e, damage)
	})
}
