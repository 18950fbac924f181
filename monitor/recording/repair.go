package recording

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/unit"
)

// Repaired is what Repair found.
type Repaired struct {
	Good    int64     // bytes the open segment has now: all its whole blocks
	Cut     int64     // bytes of torn tail that were cut, 0 for none; all of them where there is no input
	Aside   string    // the file that keeps them
	Session string    // identity of the session, "" while the recording has no input
	Segment int       // number of the open segment, or of the one to begin where there is none
	Inputs  int64     // number of the next input: First of a section to append
	Last    unit.Time // date of the last input
	Base    int64     // Unix ns of bench time 0 in the last section
	Damages []Damage  // in the middle; left as they are
}

// Repair cuts the torn tail from the open segment of a recording and keeps it aside;
// nothing else is touched, and of closed segments no more is read than is needed. Of a
// recording without any input nothing stays. A file that is no recording is refused and
// left alone. The open segment is read from the last of some checkpoints on, which stand
// in rising order, or from its beginning. It ends early, and leaves all as it was, when ctx
// is done.
func Repair(ctx context.Context, in files.Folder, kept ...Checkpoint) (Repaired, error) {
	list, err := Segments(in)
	if err != nil {
		return Repaired{}, err
	}
	if len(list) == 0 {
		return Repaired{}, fmt.Errorf("repair recording: %s has none", in.Path())
	}
	done := Repaired{Segment: 1}
	last := list[len(list)-1]
	if len(list) > 1 && last.Number == 0 {
		done.Segment = list[len(list)-2].Number + 1
	} else if last.Number > 0 {
		done.Segment = last.Number + 1
	}
	for i := len(list) - 1; i >= 0 && done.Session == ""; i-- {
		if err := done.read(ctx, in, &list[i], kept); err != nil {
			return Repaired{}, err
		}
	}
	if open := list[len(list)-1]; open.Number == 0 {
		if done.Session == "" { // what begins there is another session
			done.Good = 0
		}
		done.Cut, done.Aside, err = crclog.CutTail(in, open.Name, done.Good)
	}
	return done, err
}

// read takes what a segment says of the end of the recording, if it has any input.
func (d *Repaired) read(ctx context.Context, in files.Folder, s *Segment, kept []Checkpoint) error {
	f, err := s.open(in)
	if err != nil {
		return fmt.Errorf("repair recording: %w", err)
	}
	r := NewReader(f)
	var input event.Input
	identity := ""
	if err = r.Next(&input); err == nil && r.section.known { // else it is a gap alone, for blocks of nobody knows which session
		identity = r.identity(&input)
		if behind := d.lastPlace(f, identity, kept); behind != nil && s.Number == 0 {
			r = behind
		}
	}
	for err == nil {
		err = cmp.Or(ctx.Err(), r.Next(&input))
	}
	if errors.Is(err, io.EOF) {
		err = nil
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return fmt.Errorf("repair %s: %w", s.Name, err)
	}
	if identity != "" {
		d.Session, d.Inputs, d.Last, d.Base = identity, r.next, r.last, r.section.base
		d.Damages = r.Damages()
	}
	if s.Number == 0 {
		d.Good, _ = r.Tail()
	}
	return nil
}

// lastPlace reads on behind the last checkpoint that fits the open segment of a session;
// nil: there is none.
func (d *Repaired) lastPlace(f io.ReadCloser, identity string, kept []Checkpoint) *Reader {
	file, plain := f.(io.ReadSeeker)
	if !plain || len(kept) == 0 {
		return nil
	}
	was, err := file.Seek(0, io.SeekCurrent)
	if err != nil {
		return nil
	}
	for _, c := range slices.Backward(kept) {
		if c.Session != identity || max(1, c.Position.Segment) != d.Segment {
			continue
		}
		r, err := NewReaderAt(file, c.Position)
		if err != nil {
			continue
		}
		var input event.Input
		if err := r.Next(&input); err == nil && len(r.Damages()) == 0 {
			return r
		}
	}
	_, _ = file.Seek(was, io.SeekStart) // who reads from the beginning goes on
	return nil
}

// identity is that of the session whose first input in this file was just read.
func (r *Reader) identity(first *event.Input) string {
	if r.session != "" {
		return r.session
	}
	return Identity(r.section.base, first.Data)
}
