package dialogue

import (
	"context"
	"fmt"
)

// job is what is to be on the disk: the latest draft, or a sheet.
type job struct {
	number int64
	draft  []byte
	sheet  []byte // nil: the draft is to be kept
}

// order has a job done, in place of one that nobody began. The lock is held.
func (d *Dialogue) order(j job) {
	d.jobs++
	j.number = d.jobs
	d.job = j
	select {
	case d.toWrite <- struct{}{}:
	default:
	}
}

// write does jobs until ctx is done, and then the one that is left.
func (d *Dialogue) write(ctx context.Context) {
	for {
		select {
		case <-d.toWrite:
			d.doJob()
		case <-ctx.Done():
			d.doJob()
			return
		}
	}
}

func (d *Dialogue) doJob() {
	d.mu.Lock()
	j := d.job
	d.mu.Unlock()
	if j.number == d.finished() {
		return
	}
	var file string
	var err error
	if j.sheet != nil {
		file, err = d.opt.Store.Write(j.sheet)
	} else if err = d.opt.Store.Keep(j.draft); err != nil {
		err = fmt.Errorf("what was answered can't be kept: %w", err)
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.onDisk, d.unkept = j.number, err
	if j.sheet != nil && d.state == Writing {
		d.state, d.file = Done, file
		if err == nil {
			d.kept = nil
		}
	}
	d.change()
}

func (d *Dialogue) finished() int64 {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.onDisk
}
