package crclog

import (
	"errors"
	"fmt"
	"io"

	"benchproof.example/monitor/files"
)

// File is what a Log needs of a file; files.File has it.
type File interface {
	io.WriterAt
	Truncate(size int64) error
	Sync() error
	Close() error
}

// Log appends sealed lines to a file, all of a batch or none of it. It is for
// one goroutine.
type Log struct {
	file File
	good int64
	torn bool // bytes may stand behind good
}

// NewLog appends to a file that holds good bytes of whole lines.
func NewLog(f File, good int64) *Log { return &Log{file: f, good: good} }

// OpenLog opens a file of a folder, or makes it, after cutting its torn tail. cut and
// aside are what Repair says.
func OpenLog(in files.Folder, name string) (l *Log, cut int64, aside string, err error) {
	f, err := in.Edit(name)
	if err != nil {
		return nil, 0, "", fmt.Errorf("open lines: %w", err)
	}
	if err := in.Sync(); err != nil {
		return nil, 0, "", errors.Join(err, f.Close())
	}
	cut, aside, err = Repair(in, name)
	if err != nil {
		return nil, cut, aside, errors.Join(err, f.Close())
	}
	size, err := f.Size()
	if err != nil {
		return nil, cut, aside, errors.Join(fmt.Errorf("open lines: %w", err), f.Close())
	}
	return NewLog(f, size), cut, aside, nil
}

// Good is how many bytes of whole lines the file holds.
func (l *Log) Good() int64 { return l.good }

// Append writes whole lines in one call. After an error none of them counts as
// written: what a full disk took of them is cut off again, at once or, where
// that fails too, before the next write. The caller may append them anew.
func (l *Log) Append(lines []byte) error {
	if len(lines) == 0 {
		return nil
	}
	if lines[len(lines)-1] != '\n' {
		return errors.New("append lines: got bytes that do not end in a newline, want whole lines")
	}
	if err := l.mend(); err != nil {
		return err
	}
	n, err := l.file.WriteAt(lines, l.good)
	if err == nil && n < len(lines) {
		err = io.ErrShortWrite
	}
	if err != nil {
		l.torn = true
		return errors.Join(fmt.Errorf("append lines at byte %d: %w", l.good, err), l.mend())
	}
	l.good += int64(n)
	return nil
}

// mend cuts off what a failed write left.
func (l *Log) mend() error {
	if !l.torn {
		return nil
	}
	if err := l.file.Truncate(l.good); err != nil {
		return fmt.Errorf("cut a half-written line at byte %d: %w", l.good, err)
	}
	l.torn = false
	return nil
}

// IsAt reports whether a name of a folder leads to the file that is appended to.
func (l *Log) IsAt(in files.Folder, name string) bool {
	switch f := l.file.(type) {
	case *files.Appended:
		return in.Holds(name, f.File())
	case files.File:
		return in.Holds(name, f)
	}
	return false
}

// Sync returns when all that was appended is on the disk.
func (l *Log) Sync() error { return l.file.Sync() }

// Close closes the file, unsynced.
func (l *Log) Close() error { return l.file.Close() }
