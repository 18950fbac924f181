package files

import (
	"errors"
	"fmt"
	"io/fs"
	"sync"
)

// Appended is a file that is written to at its end alone, also after what a full disk took
// of a write was cut off.
//
// A disk that fails to sync may have dropped what it had not written yet, and call the file
// clean: then its next sync says that all is well. So what was not synced is held, and is
// written once more before anything else is, and before the next sync. One goroutine may
// write while another syncs.
type Appended struct {
	of File

	mu      sync.Mutex
	end     int64  // bytes of the file
	safe    int64  // bytes that are on the disk
	held    []byte // those behind
	syncing int64  // where the sync ends that is under way
	dropped bool   // the disk may have dropped what is held

	changing bool // a write or a cut is under way
	mending  bool // what the disk may have dropped is being written again
}

// errMending is of a change that comes while a sync writes again what the disk may have dropped.
var errMending = errors.New("what the disk may have dropped is being written again")

// maxHeld is how much may be held, bytes, when more is written: a disk that has not synced
// for so long counts as full.
const maxHeld = 16 << 20

// mostPast is how much of what an earlier run wrote is held, bytes.
const mostPast = 8 << 20

// keptRoom is how much room is kept for what is held, bytes: more is for a disk that was long in
// syncing.
const keptRoom = 1 << 20

// NewAppended appends to a file of so many bytes, which are on the disk.
func NewAppended(f File, size int64) *Appended { return &Appended{of: f, end: size, safe: size} }

// ContinueAppended appends to a file of size bytes that an earlier run wrote, of which the first
// safe are on the disk. That run may have ended behind a sync that failed: the disk may have
// dropped what lies behind them, and call the file clean. So it is held, and is written once more
// here, before a write and a sync can meet.
func ContinueAppended(f File, size, safe int64) (*Appended, error) {
	if safe = max(min(safe, size), size-mostPast); safe == size {
		return NewAppended(f, size), nil
	}
	held := make([]byte, size-safe)
	if n, err := f.ReadAt(held, safe); n < len(held) {
		return nil, fmt.Errorf("read from byte %d what is to be written once more: %w", safe, err)
	}
	a := &Appended{of: f, end: size, safe: safe, held: held, dropped: true}
	a.mu.Lock()
	defer a.mu.Unlock()
	_ = a.again() // a disk that refuses it now is asked again by each write and each sync
	return a, nil
}

// File is the file itself.
func (f *Appended) File() File { return f.of }

// End is how many bytes the file has.
func (f *Appended) End() int64 {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.end
}

// Write implements io.Writer.
func (f *Appended) Write(p []byte) (int, error) { return f.WriteAt(p, f.End()) }

// WriteAt implements io.WriterAt, at the end of the file alone.
func (f *Appended) WriteAt(p []byte, at int64) (int, error) {
	if err := f.beginChange(at); err != nil {
		return 0, err
	}
	n, err := f.of.WriteAt(p, at)
	f.mu.Lock()
	defer f.mu.Unlock()
	f.changing = false
	f.end += int64(n)
	f.held = append(f.held, p[:n]...)
	return n, err
}

// beginChange comes before a write at the end. No lock is held while a disk may hang.
func (f *Appended) beginChange(at int64) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	switch {
	case at != f.end:
		return fmt.Errorf("append at byte %d: the file has %d: %w", at, f.end, fs.ErrInvalid)
	case len(f.held) >= maxHeld:
		return fmt.Errorf("the disk has confirmed none of the last %d bytes", len(f.held))
	case f.mending:
		return errMending
	}
	f.changing = true
	err := f.again()
	f.changing = err == nil
	return err
}

// Truncate cuts the file to a size, bytes.
func (f *Appended) Truncate(size int64) error {
	f.mu.Lock()
	if f.mending {
		f.mu.Unlock()
		return errMending
	}
	f.changing = true
	f.mu.Unlock()
	err := f.of.Truncate(size)
	f.mu.Lock()
	defer f.mu.Unlock()
	f.changing = false
	if err != nil {
		return err
	}
	f.end, f.safe, f.syncing = size, min(f.safe, size), min(f.syncing, size)
	f.held = f.held[:size-f.safe]
	return nil
}

// Sync returns when all that was written is on the disk.
func (f *Appended) Sync() error {
	if err := f.beginSync(); err != nil {
		return err
	}
	err := f.of.Sync()
	f.mu.Lock()
	defer f.mu.Unlock()
	if err != nil {
		f.dropped = true
		return err
	}
	if f.held = append(f.held[:0], f.held[f.syncing-f.safe:]...); len(f.held) == 0 && cap(f.held) > keptRoom {
		f.held = nil
	}
	f.safe = f.syncing
	return nil
}

// beginSync notes what a sync is about.
func (f *Appended) beginSync() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.syncing = f.end
	if f.dropped && f.changing {
		return errors.New("what the disk may have dropped is not written again yet")
	}
	return f.again()
}

// again writes once more what the disk may have dropped. It is called with the lock, gives it
// back while the disk may hang, and has it again when it returns: nothing changes the file
// meanwhile.
func (f *Appended) again() error {
	if !f.dropped {
		return nil
	}
	held, safe, end := f.held, f.safe, f.end
	f.mending = true
	f.mu.Unlock()
	_, err := f.of.WriteAt(held, safe)
	if err == nil {
		err = f.of.Truncate(end)
	}
	f.mu.Lock()
	f.mending = false
	if err != nil {
		return fmt.Errorf("write again what the disk may have dropped: %w", err)
	}
	f.dropped = false
	return nil
}

// Close closes the file, unsynced.
func (f *Appended) Close() error { return f.of.Close() }
