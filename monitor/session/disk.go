package session

import (
	"io"
	"os"
	"sync/atomic"
	"time"
)

// File is what the recorder needs of a file; *os.File has it, opened for
// appending.
type File interface {
	io.Writer
	Truncate(size int64) error
	Sync() error
	Close() error
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

func openAppend(path string) (File, int64, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		return nil, 0, err
	}
	size, err := f.Seek(0, io.SeekEnd)
	return f, size, err
}
