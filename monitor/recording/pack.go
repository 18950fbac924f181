package recording

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"github.com/klauspost/compress/zstd"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/unit"
)

// bundleFor is the longest time that one bundle spans.
const bundleFor = unit.Minute

// nextName is the segment that is being begun, before it takes the place of the open one.
const nextName = "." + OpenName + ".new"

// MakeNext makes the file of the segment after the open one. It has no name of a segment
// until TurnOver.
func MakeNext(in files.Folder) (files.File, error) {
	if err := in.Remove(nextName); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("begin a segment: %w", err)
	}
	f, err := in.Create(nextName)
	if err != nil {
		return nil, fmt.Errorf("begin a segment: %w", err)
	}
	return f, nil
}

// TurnOver closes the open segment under its number and has the file of MakeNext take its
// place. What both hold and their names are on the disk when it returns; the next file was
// synced before. turned says that the names have changed, be they on the disk or not; else
// the open segment has its name still or, where the disk refuses that too, the closed one's.
func TurnOver(in files.Folder, open interface{ Sync() error }, number int) (turned bool, err error) {
	closed := closedSegment(number, false).Name
	if files.Exists(in, closed) {
		return false, fmt.Errorf("close segment %d: %s is there already: %w", number, closed, fs.ErrExist)
	}
	if err := open.Sync(); err != nil {
		return false, fmt.Errorf("close segment %d: %w", number, err)
	}
	if err := in.Rename(OpenName, closed); err != nil {
		return false, fmt.Errorf("close segment %d: %w", number, err)
	}
	if err := in.Rename(nextName, OpenName); err != nil {
		return false, fmt.Errorf("close segment %d: %w", number, errors.Join(err, in.Rename(closed, OpenName)))
	}
	if err := in.Sync(); err != nil {
		return true, fmt.Errorf("close segment %d: its new name may be lost in a power cut: %w", number, err)
	}
	return true, nil
}

// Pack makes the packed form of a closed segment and then removes the plain one. With a
// checkpoint, the line that AppendCheckpoint makes for a place in the segment, the packed
// form has it behind the input that it follows. The plain one goes only when the packed one
// was read back and gives the same. What is damaged in the segment is left as it is, plain:
// ErrDamaged. It ends early, and leaves all as it was, when ctx is done.
func Pack(ctx context.Context, in files.Folder, number int, checkpoint []byte) error {
	plain, packed := closedSegment(number, false), closedSegment(number, true)
	f, err := in.Open(plain.Name)
	if err != nil {
		return fmt.Errorf("pack %s: %w", plain.Name, err)
	}
	aside := "." + packed.Name + ".new"
	if err := in.Remove(aside); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return errors.Join(fmt.Errorf("pack %s: %w", plain.Name, err), f.Close())
	}
	to, err := in.Create(aside)
	if err != nil {
		return errors.Join(fmt.Errorf("pack %s: %w", plain.Name, err), f.Close())
	}
	err = pack(ctx, to, f, checkpoint)
	if err == nil {
		err = to.Sync()
	}
	if err = errors.Join(err, to.Close(), f.Close()); err == nil {
		err = sameInputs(ctx, in, plain, Segment{Name: aside, Packed: true})
	}
	if err == nil {
		err = in.Rename(aside, packed.Name)
	}
	if err != nil {
		_ = in.Remove(aside)
		return fmt.Errorf("pack %s: %w", plain.Name, err)
	}
	if err := in.Sync(); err != nil {
		return fmt.Errorf("pack %s: %w", plain.Name, err)
	}
	return errors.Join(in.Remove(plain.Name), in.Sync())
}

// ErrDamaged says that a segment can't be packed as it is.
var ErrDamaged = errors.New("the segment is damaged and stays as it is")

func pack(ctx context.Context, to io.Writer, from io.Reader, checkpoint []byte) error {
	z, err := zstd.NewWriter(to, zstd.WithEncoderLevel(zstd.SpeedDefault), zstd.WithEncoderConcurrency(1), zstd.WithWindowSize(maxWindow))
	if err != nil {
		return err
	}
	p := packer{out: z, checkpoint: checkpoint}
	if len(checkpoint) > 0 {
		c, ok := ParseCheckpoint(checkpoint)
		if !ok {
			return errors.New("the checkpoint is none")
		}
		p.behind = c.Input
	}
	return errors.Join(p.copy(ctx, NewReader(from)), z.Close())
}

// packer writes what a reader gives, bundled.
type packer struct {
	out        io.Writer
	checkpoint []byte // to be written, nil once it was
	behind     int64  // the number of the input that follows it

	w       *Writer
	section int64     // where the section that is being written begins in the source
	last    unit.Time // date of the input before
	b       bundleBuilder
}

func (p *packer) copy(ctx context.Context, r *Reader) error {
	var in event.Input
	for {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		switch err := r.Next(&in); {
		case errors.Is(err, io.EOF):
			_, torn := r.Tail()
			if torn || r.DamageCount() > 0 {
				return ErrDamaged
			}
			return p.flush()
		case err != nil:
			return err
		}
		if err := p.add(r, &in); err != nil {
			return err
		}
	}
}

// add takes the input that the reader gave last.
func (p *packer) add(r *Reader, in *event.Input) error {
	if p.w == nil || r.section.start != p.section {
		if err := p.begin(r); err != nil {
			return err
		}
	}
	if p.checkpoint != nil && r.next-1 == p.behind {
		p.w.writeBundle(&p.b)
		p.w.WriteCheckpoint(bytes.TrimSuffix(p.checkpoint, []byte("\n")))
		p.checkpoint = nil
	}
	if !p.b.fits(in) || p.b.inputs > 0 && in.At.Sub(p.b.first) >= bundleFor {
		if err := p.flush(); err != nil {
			return err
		}
	}
	p.last = in.At
	if !p.b.fits(in) { // alone it is too long for a bundle
		return p.w.Write(in)
	}
	p.b.add(in)
	return nil
}

// begin begins a section as the source has it.
func (p *packer) begin(r *Reader) error {
	if err := p.flush(); err != nil {
		return err
	}
	if len(r.section.says.Taps) == 0 && r.section.says.Session == "" {
		return errors.New("a section of an earlier format is not packed")
	}
	p.section = r.section.start
	says, err := r.section.says, error(nil)
	says.Last = p.last // a checkpoint before the first input has this date
	p.w, err = NewWriter(p.out, says)
	return err
}

func (p *packer) flush() error {
	if p.w == nil {
		return nil
	}
	p.w.writeBundle(&p.b)
	return p.w.Flush()
}

// sameInputs holds two forms of a segment to the same inputs and no damage.
func sameInputs(ctx context.Context, in files.Folder, one, other Segment) error {
	a, err := OpenSegment(in, one)
	if err != nil {
		return err
	}
	b, err := OpenSegment(in, other)
	if err != nil {
		return errors.Join(err, a.Close())
	}
	for err == nil {
		err = ctx.Err()
		if err == nil {
			err = nextIsSame(&a.Reader, &b.Reader)
		}
	}
	if errors.Is(err, io.EOF) {
		err = nil
	}
	return errors.Join(err, a.Close(), b.Close())
}

// nextIsSame reads an input of each; io.EOF: both are over.
func nextIsSame(a, b *Reader) error {
	var one, other event.Input
	errA, errB := a.Next(&one), b.Next(&other)
	switch {
	case b.DamageCount() > 0:
		return fmt.Errorf("what was packed does not read back: %v", b.Damages())
	case !errors.Is(errA, errB):
		return fmt.Errorf("what was packed does not read back to the same end: got %w, want %w", errB, errA)
	case errA == nil && (one.At != other.At || one.Tap != other.Tap || one.Kind != other.Kind || !bytes.Equal(one.Data, other.Data)):
		return fmt.Errorf("what was packed does not read back as it was: input %d differs", a.next-1)
	}
	return errA
}
