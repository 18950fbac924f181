package crclog

import (
	"errors"
	"fmt"
	"io"
	"io/fs"

	"benchproof.example/monitor/files"
)

// Repair cuts the torn tail from a file of sealed lines, and nothing else. cut
// is how many bytes went, aside the file that holds them now: 0 and "" where
// the tail was whole.
func Repair(in files.Folder, name string) (cut int64, aside string, err error) {
	f, err := in.Open(name)
	if err != nil {
		return 0, "", fmt.Errorf("repair lines: %w", err)
	}
	good, err := Scan(f, func(int64, []byte, error) error { return nil })
	if err = errors.Join(err, f.Close()); err != nil {
		return 0, "", fmt.Errorf("repair %s: %w", name, err)
	}
	return CutTail(in, name, good)
}

// CutTail cuts a file to good bytes after copying what stands behind them to
// NAME.torn-GOOD (or NAME.torn-GOOD.2, .3, ... where that is taken). Both files
// are on the disk when it returns. The file is not touched unless the copy is
// safe.
func CutTail(in files.Folder, name string, good int64) (cut int64, aside string, err error) {
	f, err := in.Edit(name)
	if err != nil {
		return 0, "", fmt.Errorf("cut torn tail: %w", err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	size, err := f.Size()
	if err != nil {
		return 0, "", fmt.Errorf("cut torn tail: %w", err)
	}
	tail := size - good
	if tail < 0 || good < 0 {
		return 0, "", fmt.Errorf("cut torn tail of %s: got an end of %d, want 0 to its %d bytes", name, good, size)
	}
	if tail == 0 {
		return 0, "", nil
	}
	copied, aside, err := createAside(in, fmt.Sprintf("%s.torn-%d", name, good))
	if err != nil {
		return 0, "", fmt.Errorf("keep torn tail of %s aside: %w", name, err)
	}
	err = copyTail(f, copied, good, tail)
	if err == nil {
		err = in.Sync() // the copy's name too is safe now
	}
	if err != nil {
		return 0, "", fmt.Errorf("keep torn tail of %s aside: %w", name, err)
	}
	if err := errors.Join(f.Truncate(good), f.Sync()); err != nil {
		return 0, "", fmt.Errorf("cut torn tail of %s: %w", name, err)
	}
	return tail, aside, nil
}

// copyTail copies and makes the copy safe.
func copyTail(from, to files.File, good, length int64) error {
	_, err := io.Copy(to, io.NewSectionReader(from, good, length))
	if err == nil {
		err = to.Sync()
	}
	return errors.Join(err, to.Close())
}

// createAside makes a new file and never touches one that is there: an earlier
// tail may have been torn at the same place.
func createAside(in files.Folder, name string) (files.File, string, error) {
	for n, try := 2, name; ; n++ {
		f, err := in.Create(try)
		if !errors.Is(err, fs.ErrExist) {
			return f, try, err
		}
		try = fmt.Sprintf("%s.%d", name, n)
	}
}
