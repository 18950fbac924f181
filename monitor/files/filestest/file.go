package filestest

import (
	"io"
	"io/fs"
	"slices"
)

// file is an open file of a Disk.
type file struct {
	disk    *Disk
	content *content
	at      int64
	closed  bool
}

func (f *file) name() string {
	f.disk.mu.Lock()
	defer f.disk.mu.Unlock()
	return f.content.name
}

func (f *file) ask(op string, data []byte) error { return f.disk.ask(op, f.name(), data) }

func (f *file) Read(p []byte) (int, error) {
	n, err := f.ReadAt(p, f.at)
	f.at += int64(n)
	if n > 0 {
		err = nil
	}
	return n, err
}

func (f *file) ReadAt(p []byte, at int64) (int, error) {
	if err := f.ask("read", nil); err != nil {
		return 0, err
	}
	f.disk.mu.Lock()
	defer f.disk.mu.Unlock()
	if at >= int64(len(f.content.data)) {
		return 0, io.EOF
	}
	n := copy(p, f.content.data[at:])
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

func (f *file) Seek(offset int64, whence int) (int64, error) {
	f.disk.mu.Lock()
	defer f.disk.mu.Unlock()
	switch whence {
	case io.SeekCurrent:
		offset += f.at
	case io.SeekEnd:
		offset += int64(len(f.content.data))
	}
	if offset < 0 {
		return 0, fs.ErrInvalid
	}
	f.at = offset
	return offset, nil
}

func (f *file) Write(p []byte) (int, error) {
	n, err := f.WriteAt(p, f.at)
	f.at += int64(n)
	return n, err
}

func (f *file) WriteAt(p []byte, at int64) (int, error) {
	err := f.ask("write", p)
	if f.closed {
		return 0, fs.ErrClosed
	}
	f.disk.mu.Lock()
	defer f.disk.mu.Unlock()
	if err != nil {
		p = p[:min(len(p), f.disk.Takes)]
	}
	f.content.do(change{at: at, data: slices.Clone(p)})
	return len(p), err
}

func (f *file) Truncate(size int64) error {
	if err := f.ask("truncate", nil); err != nil {
		return err
	}
	f.disk.mu.Lock()
	defer f.disk.mu.Unlock()
	f.content.do(change{at: size, cut: true})
	return nil
}

func (f *file) Sync() error {
	if err := f.ask("sync", nil); err != nil {
		f.disk.mu.Lock()
		defer f.disk.mu.Unlock()
		f.content.changes = nil
		return err
	}
	if f.disk.lies("sync", f.name()) {
		return nil
	}
	f.disk.mu.Lock()
	defer f.disk.mu.Unlock()
	for i := range f.content.changes {
		f.content.safe = f.content.changes[i].apply(f.content.safe)
	}
	f.content.changes = nil
	return nil
}

func (f *file) Size() (int64, error) {
	f.disk.mu.Lock()
	defer f.disk.mu.Unlock()
	return int64(len(f.content.data)), nil
}

func (f *file) Close() error {
	f.closed = true
	return nil
}
