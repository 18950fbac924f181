package timeline

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"benchproof.example/monitor/crclog"
	"benchproof.example/monitor/files"
)

// Journal appends events to a file. It is for one goroutine.
type Journal struct {
	in   files.Folder // where it lies; nil for one that New made
	name string
	log  *crclog.Log
	last int64
	sum  Sum
}

// Opened is what Open found.
type Opened struct {
	Cut     int64    // bytes of torn tail that were cut, 0 for none
	Aside   string   // the file that keeps them
	Events  int64    // whole events in the file
	Damages []string // stretches of damage in the middle, left as they are; at most maxDamages
	Holes   []Hole   // where numbers do not follow one another; at most maxDamages

	From Place         // where it was read from; zero: the beginning
	Sums map[int64]Sum // of the journal up to the events of the places that were asked for, by number
}

const maxDamages = 100

// resumed is in the line of the one event whose number may leave some out: a build that
// goes on with a session in which another one counted fewer events.
var resumed = []byte(`"kind":"session.resumed"`)

// Open opens the journal of a folder, or makes it. A torn tail is cut and kept aside;
// damage in the middle stays. The journal of a newer program is refused. It is read once:
// from the last of places, which stand in rising order, that it still has, or from its
// beginning. What lies before a place is on the disk. It ends early when ctx is done.
func Open(ctx context.Context, in files.Folder, name string, places ...Place) (*Journal, Opened, error) {
	var found Opened
	f, err := in.Edit(name)
	if err != nil {
		return nil, found, fmt.Errorf("open timeline: %w", err)
	}
	j := &Journal{in: in, name: name}
	good := int64(0)
	if err = in.Sync(); err == nil {
		good, err = j.inspect(ctx, f, places, &found)
	}
	var to *files.Appended
	if err == nil {
		found.Cut, found.Aside, err = crclog.CutTail(in, name, good)
	}
	if err == nil {
		to, err = files.ContinueAppended(f, good, found.From.Offset)
	}
	if err != nil {
		return nil, found, errors.Join(fmt.Errorf("open timeline %s: %w", name, err), f.Close())
	}
	j.log = crclog.NewLog(to, good)
	return j, found, nil
}

// New appends to a log that ends with the event of the given number, 0 for none.
func New(log *crclog.Log, last int64) *Journal { return &Journal{log: log, last: last} }

// Inspect reads what a journal holds and leaves it as it is, with the sums up to events of
// some numbers. A torn tail is Cut, and stays.
func Inspect(in files.Folder, name string, sums ...int64) (found Opened, last int64, err error) {
	f, err := in.Open(name)
	if err != nil {
		return found, 0, fmt.Errorf("read timeline %s: %w", name, err)
	}
	wanted := map[int64]bool{}
	for _, seq := range sums {
		wanted[seq] = true
	}
	found.Sums = map[int64]Sum{}
	size, err := f.Size()
	var end Place
	if err == nil {
		end, err = found.read(f, wanted)
	}
	found.Cut = max(0, size-end.Offset)
	if err = errors.Join(err, f.Close()); err != nil {
		return found, end.Seq, fmt.Errorf("read timeline %s: %w", name, err)
	}
	return found, end.Seq, nil
}

// inspect reads what the file holds, from the last place on that it has. good is where
// its last good line ends, bytes.
func (j *Journal) inspect(ctx context.Context, f files.File, places []Place, found *Opened) (good int64, err error) {
	size, err := f.Size()
	if err != nil {
		return 0, err
	}
	found.From = newest(f, size, places)
	if len(places) > 0 {
		found.Sums = map[int64]Sum{found.From.Seq: found.From.Sum}
	}
	wanted := map[int64]bool{}
	for _, p := range places {
		wanted[p.Seq] = true
	}
	end, err := found.read(&until{ctx, io.NewSectionReader(f, found.From.Offset, size-found.From.Offset)}, wanted)
	j.last, j.sum = end.Seq, end.Sum
	return end.Offset, err
}

// read reads lines from o.From on and notes what is to be said of them. end is behind
// the last good one; its Seq is the highest.
func (o *Opened) read(r io.Reader, wanted map[int64]bool) (end Place, err error) {
	end = o.From
	before := o.From.Seq
	tail, err := crclog.Scan(r, func(offset int64, line []byte, damage error) error {
		if damage != nil {
			o.damaged(damage)
			return nil
		}
		seq, err := Number(line)
		if err != nil {
			return fmt.Errorf("at byte %d: %w", o.From.Offset+offset, err)
		}
		o.Events++
		if !bytes.Contains(line, resumed) || seq <= before {
			o.follows(seq, before)
		}
		before, end.Seq, end.Sum = seq, max(end.Seq, seq), end.Sum.after(line)
		if wanted[seq] {
			o.Sums[seq] = end.Sum
		}
		return nil
	})
	end.Offset += tail
	return end, err
}

// damaged notes a stretch of damage.
func (o *Opened) damaged(damage error) {
	var d *crclog.Damage
	if errors.As(damage, &d) {
		d.Offset += o.From.Offset
	}
	if len(o.Damages) < maxDamages {
		o.Damages = append(o.Damages, damage.Error())
	}
}

// CheckUntil reads what stands before a place that Open began at, and says what of it is
// not as it was written: nothing where all is. It ends early when ctx is done.
func CheckUntil(ctx context.Context, in files.Folder, name string, p Place) (faults []string, err error) {
	f, err := in.Open(name)
	if err != nil {
		return nil, fmt.Errorf("check the timeline: %w", err)
	}
	var found Opened
	end, err := found.read(&until{ctx, io.NewSectionReader(f, 0, p.Offset)}, nil)
	if err = errors.Join(err, f.Close()); err != nil {
		return nil, fmt.Errorf("check the timeline: %w", err)
	}
	faults = found.Damages
	for _, h := range found.Holes {
		faults = append(faults, h.String())
	}
	if len(faults) == 0 && end != p {
		faults = []string{"its lines are others"}
	}
	return faults, nil
}

// until reads until ctx is done.
type until struct {
	ctx context.Context
	of  io.Reader
}

// Read implements io.Reader.
func (u *until) Read(p []byte) (int, error) {
	if err := u.ctx.Err(); err != nil {
		return 0, err
	}
	return u.of.Read(p)
}

// Hole is where the number of an event does not follow that of the line before.
type Hole struct{ Before, Seq int64 }

func (h Hole) String() string {
	if h.Seq > h.Before {
		return fmt.Sprintf("events %d to %d are lacking", h.Before+1, h.Seq-1)
	}
	return fmt.Sprintf("event %d stands behind event %d", h.Seq, h.Before)
}

// follows notes where an event's number does not follow that of the line before.
func (o *Opened) follows(seq, before int64) {
	if seq != before+1 && len(o.Holes) < maxDamages {
		o.Holes = append(o.Holes, Hole{before, seq})
	}
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
	j.last, j.sum = last, j.sum.afterAll(lines)
	return nil
}

// Rebuild writes the journal anew: as text has it, whole lines in order, and behind its
// last event as it is. The file as it was is kept aside; aside is "" where nothing had to be
// changed: what it lacks nobody has.
func (j *Journal) Rebuild(text []byte) (aside string, err error) {
	last, err := lastSeq(text)
	if err == nil {
		text, err = j.appendAfter(text, last)
	}
	same := false
	if err == nil {
		same, err = j.reads(text)
	}
	if err == nil && !same {
		aside, err = j.replace(text)
	}
	if err != nil {
		return "", fmt.Errorf("rebuild the timeline: %w", err)
	}
	return aside, nil
}

// reads reports whether the file has that text.
func (j *Journal) reads(text []byte) (bool, error) {
	f, err := j.in.Open(j.name)
	if err != nil {
		return false, err
	}
	now, err := io.ReadAll(f)
	return bytes.Equal(now, text), errors.Join(err, f.Close())
}

// appendAfter appends the lines of the events behind a number.
func (j *Journal) appendAfter(text []byte, last int64) ([]byte, error) {
	f, err := j.in.Open(j.name)
	if err != nil {
		return text, err
	}
	_, err = crclog.Scan(f, func(_ int64, line []byte, damage error) error {
		if damage != nil {
			return nil
		}
		e, err := Parse(line)
		if err == nil && e.Seq > last {
			text = append(append(text, line...), '\n')
		}
		return err
	})
	return text, errors.Join(err, f.Close())
}

func (j *Journal) replace(text []byte) (aside string, err error) {
	if err := j.log.Sync(); err != nil {
		return "", err
	}
	if err := j.log.Close(); err != nil {
		return "", err
	}
	if aside, err = files.FreeName(j.in, strings.TrimSuffix(j.name, ".jsonl")+"-as-found", ".jsonl"); err == nil {
		err = j.in.Rename(j.name, aside)
	}
	if err == nil {
		if err = files.Replace(j.in, j.name, text); err != nil { // it goes on as it was found
			err = errors.Join(err, j.in.Rename(aside, j.name), j.in.Sync())
		}
	}
	if err == nil {
		j.sum = Sum{}.afterAll(text)
	}
	return aside, errors.Join(err, j.reopen())
}

// reopen opens the file that has the journal's name now, whole lines on the disk.
func (j *Journal) reopen() error {
	f, err := j.in.Edit(j.name)
	if err != nil {
		return err
	}
	size, err := f.Size()
	if err != nil {
		return errors.Join(err, f.Close())
	}
	j.log = crclog.NewLog(files.NewAppended(f, size), size)
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

// InPlace reports whether its name in the folder, and the folder's own path, still lead to
// the file that is appended to.
func (j *Journal) InPlace() bool { return j.log.IsAt(j.in, j.name) }

// LastSeq is the number of the last event, 0 for none.
func (j *Journal) LastSeq() int64 { return j.last }

// End is the place behind the last event.
func (j *Journal) End() Place { return Place{Offset: j.log.Good(), Seq: j.last, Sum: j.sum} }

// Good is how many bytes of whole lines the file holds.
func (j *Journal) Good() int64 { return j.log.Good() }

// Sync returns when all that was appended is on the disk.
func (j *Journal) Sync() error { return j.log.Sync() }

// Close closes the file, unsynced.
func (j *Journal) Close() error { return j.log.Close() }
