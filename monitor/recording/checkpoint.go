package recording

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sealed"
)

// Checkpoint is the state of the bench between two inputs, so that a replay need
// not begin at the start. Files of them are sealed lines; sealed.Log appends to
// one. A checkpoint that is lost costs time only.
type Checkpoint struct {
	Input    int64           `json:"input"` // number of the next input
	At       fact.Time       `json:"at_ns"` // date of the last input
	Seq      int64           `json:"seq"`   // number of the next event
	Position Position        `json:"position"`
	Bench    json.RawMessage `json:"bench"` // the bench as it stood, JSON
}

// AppendCheckpoint appends the line of a checkpoint to dst.
func AppendCheckpoint(dst []byte, c *Checkpoint) ([]byte, error) {
	object, err := json.Marshal(c)
	if err != nil {
		return dst, fmt.Errorf("render the checkpoint at input %d: %w", c.Input, err)
	}
	start := len(dst)
	long := sealed.Append(dst, object)
	if length := len(long) - start - 1; length > sealed.MaxLine {
		return dst, fmt.Errorf("render the checkpoint at input %d: got a line of %d bytes, want at most %d", c.Input, length, sealed.MaxLine)
	}
	return long, nil
}

// ReadCheckpoints reads the good checkpoints of a file, in file order; damaged
// lines and a torn tail are passed over. No file is no checkpoint.
func ReadCheckpoints(path string) ([]Checkpoint, error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("read checkpoints: %w", err)
	}
	var list []Checkpoint
	_, err = sealed.Scan(f, func(offset int64, line []byte, damage error) error {
		if damage != nil {
			return nil
		}
		var c Checkpoint
		if err := json.Unmarshal(line, &c); err != nil {
			return fmt.Errorf("line at byte %d: %w", offset, err)
		}
		list = append(list, c)
		return nil
	})
	if err = errors.Join(err, f.Close()); err != nil {
		return nil, fmt.Errorf("read checkpoints from %s: %w", path, err)
	}
	return list, nil
}
