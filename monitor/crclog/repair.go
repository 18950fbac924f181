package crclog

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// Repair cuts the torn tail from a file of sealed lines, and nothing else. cut
// is how many bytes went, aside the file that holds them now: 0 and "" where
// the tail was whole.
func Repair(path string) (cut int64, aside string, err error) {
	f, err := os.Open(path)
	if err != nil {
		return 0, "", fmt.Errorf("repair lines: %w", err)
	}
	good, err := Scan(f, func(int64, []byte, error) error { return nil })
	if err = errors.Join(err, f.Close()); err != nil {
		return 0, "", fmt.Errorf("repair %s: %w", path, err)
	}
	return CutTail(path, good)
}

// CutTail cuts a file to good bytes after copying what stands behind them to
// path.torn-GOOD (or path.torn-GOOD.2, .3, ... where that is taken). Both files
// are on the disk when it returns. The file is not touched unless the copy is
// safe.
func CutTail(path string, good int64) (cut int64, aside string, err error) {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return 0, "", fmt.Errorf("cut torn tail: %w", err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	info, err := f.Stat()
	if err != nil {
		return 0, "", fmt.Errorf("cut torn tail: %w", err)
	}
	tail := info.Size() - good
	if tail < 0 || good < 0 {
		return 0, "", fmt.Errorf("cut torn tail of %s: got an end of %d, want 0 to its %d bytes", path, good, info.Size())
	}
	if tail == 0 {
		return 0, "", nil
	}
	copied, aside, err := createAside(fmt.Sprintf("%s.torn-%d", path, good))
	if err != nil {
		return 0, "", fmt.Errorf("keep torn tail aside: %w", err)
	}
	if err := moveTail(f, copied, good, tail); err != nil {
		return 0, "", fmt.Errorf("cut torn tail of %s: %w", path, err)
	}
	return tail, aside, syncFolder(filepath.Dir(path))
}

// torn is the file to cut, and kept the one that takes the tail.
type (
	torn interface {
		io.ReaderAt
		Truncate(int64) error
		Sync() error
	}
	kept interface {
		io.WriteCloser
		Sync() error
	}
)

// moveTail copies, makes the copy safe, and only then cuts.
func moveTail(from torn, to kept, good, length int64) error {
	_, err := io.Copy(to, io.NewSectionReader(from, good, length))
	if err == nil {
		err = to.Sync()
	}
	if err = errors.Join(err, to.Close()); err != nil {
		return fmt.Errorf("keep it aside: %w", err)
	}
	if err := from.Truncate(good); err != nil {
		return err
	}
	return from.Sync()
}

// createAside makes a new file and never touches one that is there: an earlier
// tail may have been torn at the same place.
func createAside(name string) (*os.File, string, error) {
	for n, try := 2, name; ; n++ {
		f, err := os.OpenFile(try, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if !errors.Is(err, fs.ErrExist) {
			return f, try, err
		}
		try = fmt.Sprintf("%s.%d", name, n)
	}
}

// syncFolder makes the names in a folder safe. Windows offers no such call.
func syncFolder(name string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(name)
	if err != nil {
		return fmt.Errorf("sync folder: %w", err)
	}
	return errors.Join(d.Sync(), d.Close())
}
