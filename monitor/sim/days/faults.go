package days

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/session"
)

var (
	errGone    = errors.New("this program is gone")
	errFull    = errors.New("no space left on device")
	errRefused = errors.New("input/output error")
)

// diskFaults are those that last.
type diskFaults struct {
	full  int64 // until when it is
	takes int   // bytes of a write, meanwhile
	hangs int64 // until when it does
	op    string
	left  int   // so many calls of op are refused still
	last  int64 // when the disk was last not well
}

func (f *diskFaults) begin(h *Happening, now int64) {
	switch h.What {
	case full:
		f.full, f.takes = max(f.full, now+h.For), h.Count
	case hangs:
		f.hangs = max(f.hangs, now+h.For)
	case refuses:
		f.op, f.left = h.Text, h.Count
	}
	f.last = max(f.last, f.full, f.hangs, now)
}

// refuse is the answer of the disk to a call, if it is none that it does.
func (f *diskFaults) refuse(c filestest.Call, now int64) error {
	if f.left > 0 && c.Op == f.op {
		f.left--
		f.last = max(f.last, now)
		return errRefused
	}
	if now < f.full && (c.Op == "write" || c.Op == "create") {
		return errFull
	}
	return nil
}

// before follows each call to the disk.
func (d *day) before(c filestest.Call) error {
	l := d.life
	d.disk.Takes = 0
	if l == nil || l.over {
		return errGone
	}
	if until := d.links[c.Name]; c.Op == "open" && d.now < until {
		return fmt.Errorf("%s is a link to somewhere else: %w", c.Name, files.ErrNotPlain)
	}
	if slices.Contains([]string{"open", "read", "names"}, c.Op) {
		return nil
	}
	l.call = c.Op + " " + c.Name
	if !d.survives(c, l) {
		return errGone
	}
	if err := d.faults.refuse(c, d.now); err != nil {
		if errors.Is(err, errFull) {
			d.disk.Takes = d.faults.takes
		}
		return err
	}
	d.promise(c)
	return nil
}

// survives waits for as long as a call takes; not so: the life is over with it.
func (d *day) survives(c filestest.Call, l *life) bool {
	if c.Op == "sync" && d.story.Slow > 0 && (!d.sleep(d.now+d.luck.Int64N(d.story.Slow)) || l.over) {
		return false
	}
	if d.calls > 0 {
		if d.calls--; d.calls == 0 {
			d.die(l)
			return false
		}
	}
	return d.hangs(l)
}

// hangs waits until the disk answers; not so: the life is over meanwhile.
func (d *day) hangs(l *life) bool {
	for d.now < d.faults.hangs {
		if !d.sleep(d.faults.hangs) || l.over {
			return false
		}
	}
	return true
}

// tamper changes what lies in the folder behind the daemon's back.
func (d *day) tamper(h *Happening, luck *rand.Rand) {
	disk := d.disk
	if disk.Content(h.Text) == nil {
		return
	}
	d.tampered = true
	switch h.What {
	case rots:
		d.damaged = true
		at, by := luck.Float64(), byte(1+luck.IntN(255))
		disk.Harm(h.Text, func(data []byte) []byte {
			for i := range h.Count {
				if n := int(at*float64(len(data))) + i; n < len(data) {
					data[n] ^= by
				}
			}
			return data
		})
	case linked:
		d.links[h.Text] = max(d.links[h.Text], d.now+h.For)
	case removed:
		quietly(disk, func() { _ = disk.Remove(h.Text) })
	case swapped:
		d.swap(h)
	}
}

// swap puts something else in the place of a file, for a while or for good.
func (d *day) swap(h *Happening) {
	disk, aside := d.disk, h.Text+".aside"
	quietly(disk, func() {
		_ = disk.Rename(h.Text, aside)
		if f, err := disk.Create(h.Text); err == nil {
			_, _ = f.Write(disk.Content("sheet.yaml"))
			_ = f.Sync()
		}
	})
	if h.For == 0 {
		return
	}
	d.start(nil, d.now+h.For, func() {
		if d.disk.Content(aside) != nil {
			quietly(d.disk, func() { _ = d.disk.Rename(aside, h.Text) })
		}
	})
}

// openAnother starts another daemon on the folder, which must be refused.
func (d *day) openAnother() {
	l := d.life
	if l == nil || l.live == nil || l.over {
		return
	}
	if d.held == nil { // the end has let go of it
		return
	}
	other, err := session.Open(context.Background(), d.options(&mount{d.disk, d}))
	if l.over || d.held == nil {
		return
	}
	if err == nil {
		other.Seq.Close(0)
		d.failed = errors.New("another daemon was let into the folder")
	}
	if !errors.Is(err, session.ErrBusy) && !errors.Is(err, errRefused) && !errors.Is(err, errFull) {
		d.failed = fmt.Errorf("another daemon was not told why it is refused: %w", err)
	}
}

// standStill has nothing of a life go on for a while.
func (d *day) standStill(l *life, until int64) {
	if l != nil {
		l.still = max(l.still, until)
	}
}

// quietly does something to a disk that is no call of the daemon.
func quietly(disk *filestest.Disk, do func()) {
	before := disk.Before
	disk.Before = nil
	do()
	disk.Before = before
}
