package files

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// OpenNamed opens a file that the user named, for reading. A link is followed; what it
// leads to must be a plain file. Standard input, pipes and devices are refused at once:
// they could keep a command waiting for ever.
func OpenNamed(path string) (*os.File, error) {
	if _, err := os.Stat(path); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, os.O_RDONLY|openAtOnce, 0)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err == nil {
		err = plain(path, info.Mode())
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}

// ReadNamed reads the whole of a file that the user named, at most limit bytes.
func ReadNamed(path string, limit int64) ([]byte, error) {
	f, err := OpenNamed(path)
	if err != nil {
		return nil, err
	}
	text, err := readAll(file{f}, path, limit)
	return text, errors.Join(err, f.Close())
}

// WriteNamed writes a file that the user named so that it is there as a whole or as it
// was before. What is there and is no plain file stays.
func WriteNamed(path string, data []byte) error {
	return WriteNamedBy(path, func(to io.Writer) error {
		_, err := to.Write(data)
		return err
	})
}

// WriteNamedBy does so with what write writes, which may be long. After an error of write
// the file is as it was.
func WriteNamedBy(path string, write func(to io.Writer) error) error {
	if info, err := os.Stat(path); err == nil {
		if err := plain(path, info.Mode()); err != nil {
			return fmt.Errorf("write %s: %w", path, err)
		}
	}
	if target, err := filepath.EvalSymlinks(path); err == nil {
		path = target
	}
	in, err := OpenFolder(filepath.Dir(path))
	if err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	return errors.Join(ReplaceBy(in, filepath.Base(path), write), in.Close())
}

// RemoveNamed removes a file of a name that the user gave, or that follows from one.
func RemoveNamed(path string) error { return os.Remove(path) }
