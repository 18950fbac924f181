package session

import (
	"errors"
	"sync/atomic"
	"time"

	"benchproof.example/monitor/files"
)

// openAppended opens a file of a folder, or makes it. Its name is on the disk then, and so are
// the first safe bytes that it has, at least.
func openAppended(in files.Folder, name string, safe int64) (a *files.Appended, err error) {
	f, err := in.Edit(name)
	if err != nil {
		return nil, err
	}
	size, err := f.Size()
	if err = errors.Join(err, in.Sync()); err == nil {
		a, err = files.ContinueAppended(f, size, safe)
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return a, nil
}

// stallAfter is how long a disk may be busy with one call before watching goes on
// without it.
const stallAfter = 2 * time.Second

// retryAfter is how long a disk that refused is left alone.
const retryAfter = time.Second

// busy dates the call that a goroutine is in, for a watchdog.
type busy struct{ since atomic.Int64 } // clock ns; 0: in none

func (b *busy) during(clock func() int64, f func() error) error {
	b.since.Store(max(1, clock()))
	defer b.since.Store(0)
	return f()
}

// stalled reports whether the call has taken too long.
func (b *busy) stalled(clock func() int64) bool {
	since := b.since.Load()
	return since != 0 && clock()-since >= int64(stallAfter)
}
