package recording

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/unit"
)

// Checkpoint is the state of the bench between two inputs, so that a replay need
// not begin at the start. Files of them are sealed lines; crclog.Log appends to
// one. A checkpoint that is lost costs time only. It is of use to the judge that
// made it alone, and for its own recording alone.
type Checkpoint struct {
	Session  string    `json:"session"` // Identity of the recording
	Judge    string    `json:"judge"`   // fingerprint of the program that judged
	Input    int64     `json:"input"`   // number of the next input
	At       unit.Time `json:"at_ns"`   // date of the last input
	Seq      int64     `json:"seq"`     // number of the next event
	Position Position  `json:"position"`
	// The journal as it was when this was written: number of its last event, and the
	// timeline.Sum up to it as text; "" in those of earlier builds.
	Journalled int64           `json:"journalled,omitempty"`
	JournalSum string          `json:"journal_sum,omitempty"`
	JournalEnd int64           `json:"journal_end,omitempty"` // its length then, bytes
	Engine     json.RawMessage `json:"state"`                 // the bench as it stood, JSON; builds that did not look at judge read "bench"
	Record     json.RawMessage `json:"record,omitempty"`      // what was gathered for the session's record, JSON; none: it was given up
}

// AppendCheckpoint appends the line of a checkpoint to dst.
func AppendCheckpoint(dst []byte, c *Checkpoint) ([]byte, error) {
	object, err := json.Marshal(c)
	if err != nil {
		return dst, fmt.Errorf("render the checkpoint at input %d: %w", c.Input, err)
	}
	start := len(dst)
	long := crclog.Append(dst, object)
	if length := len(long) - start - 1; length > crclog.MaxLine {
		return dst, fmt.Errorf("render the checkpoint at input %d: got a line of %d bytes, want at most %d", c.Input, length, crclog.MaxLine)
	}
	return long, nil
}

// ReadCheckpoints reads the good checkpoints of a file, in file order; damaged
// lines, a torn tail and lines of another form are passed over. No file is no
// checkpoint.
func ReadCheckpoints(in files.Folder, name string) ([]Checkpoint, error) {
	f, err := in.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read checkpoints: %w", err)
	}
	var list []Checkpoint
	_, err = crclog.Scan(f, func(_ int64, line []byte, damage error) error {
		if damage != nil {
			return nil
		}
		if c, ok := ParseCheckpoint(line); ok {
			list = append(list, c)
		}
		return nil
	})
	if err = errors.Join(err, f.Close()); err != nil {
		return nil, fmt.Errorf("read checkpoints from %s: %w", name, err)
	}
	return list, nil
}

// ParseCheckpoint reads a line, with its newline or without. One of another form is none.
func ParseCheckpoint(line []byte) (c Checkpoint, ok bool) {
	object, err := crclog.Check(bytes.TrimSuffix(line, []byte("\n")))
	if err != nil {
		return c, false
	}
	strict := json.NewDecoder(bytes.NewReader(object))
	strict.DisallowUnknownFields()
	err = strict.Decode(&c)
	return c, err == nil && c.Engine != nil
}
