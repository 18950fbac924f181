package recording

import (
	"errors"
	"fmt"
	"io"
	"os"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Repaired is what Repair found.
type Repaired struct {
	Good     int64     // bytes the file has now: all its whole blocks
	Cut      int64     // bytes of torn tail that were cut, 0 for none
	Aside    string    // the file that keeps them
	Identity string    // of the recording, "" while it has no input
	Inputs   int64     // number of the next input: First of a section to append
	Last     unit.Time // date of the last input
	Base     int64     // Unix ns of bench time 0 in the last section
	Damages  []Damage  // in the middle; left as they are
}

// Repair cuts the torn tail from a recording and keeps it aside; nothing else is
// touched. A file that is no recording is refused and left alone.
func Repair(path string) (Repaired, error) {
	f, err := os.Open(path)
	if err != nil {
		return Repaired{}, fmt.Errorf("repair recording: %w", err)
	}
	r := NewReader(f)
	var in event.Input
	identity := ""
	if err = r.Next(&in); err == nil {
		identity = Identity(r.section.base, in.Data)
	}
	for err == nil {
		err = r.Next(&in)
	}
	if errors.Is(err, io.EOF) {
		err = nil
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return Repaired{}, fmt.Errorf("repair %s: %w", path, err)
	}
	good, _ := r.Tail()
	done := Repaired{Good: good, Identity: identity, Inputs: r.next, Last: r.last, Base: r.section.base, Damages: r.Damages()}
	done.Cut, done.Aside, err = crclog.CutTail(path, good)
	return done, err
}
