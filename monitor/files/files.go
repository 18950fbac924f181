// Package files is the one way to open, write, sync and rename files. What lies in the
// folder of a session may come from elsewhere, by mail or from a shared disk: so
// everything in it is reached through a Folder, which takes plain files of that folder
// alone and follows no link. Files that the user names are followed wherever they lead,
// and then have to be plain files of a bounded size.
//
// Folder and File have the semantics of a disk and no more: what was written may be lost
// until Sync, and a name that was made, moved or removed until the folder's Sync. Package
// filestest has a disk that takes all of that at its word.
package files

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
)

// Sizes of what is read at once, bytes.
const (
	MaxText   = 4 << 20   // a sheet, a script, settings, a token
	MaxRecord = 256 << 20 // a record
)

// ErrNotPlain says that a name leads to something else than a plain file.
var ErrNotPlain = errors.New("not a plain file")

// File is an open file.
type File interface {
	io.Reader
	io.ReaderAt
	io.Seeker
	io.Writer
	io.WriterAt
	io.Closer

	// Size is the length, bytes.
	Size() (int64, error)
	// Truncate cuts the file to a size, bytes.
	Truncate(size int64) error
	// Sync returns when all that was written is on the disk.
	Sync() error
}

// Folder is an open folder of plain files. A name is that of a file in it, never a path.
// Errors wrap fs.ErrNotExist, fs.ErrExist or ErrNotPlain where they apply.
type Folder interface {
	// Path is how the folder was named, for sentences.
	Path() string
	// Open opens a file for reading.
	Open(name string) (File, error)
	// Edit opens a file for reading and writing, and makes it where it is lacking.
	Edit(name string) (File, error)
	// Create makes a file that is not there yet, for reading and writing.
	Create(name string) (File, error)
	// Rename gives a file another name, in place of the file that has it.
	Rename(from, to string) error
	// Remove takes a name away.
	Remove(name string) error
	// Names are those of all that lies in the folder, sorted.
	Names() ([]string, error)
	// Holds reports whether a name still leads to an open file of this folder, and the
	// folder's own path to the folder.
	Holds(name string, f File) bool
	// Sync returns when all names that were made, moved or removed are on the disk.
	Sync() error
	// Lock keeps others off until the folder is closed; false: somebody has it.
	Lock(name string) (bool, error)
	// Close closes the folder, not its files.
	Close() error
}

// Read reads a whole file of at most limit bytes.
func Read(in Folder, name string, limit int64) ([]byte, error) {
	f, err := in.Open(name)
	if err != nil {
		return nil, err
	}
	text, err := readAll(f, name, limit)
	return text, errors.Join(err, f.Close())
}

// Exists reports whether something has that name, be it a plain file or not: who opens
// it then says what it is.
func Exists(in Folder, name string) bool {
	f, err := in.Open(name)
	if err == nil {
		_ = f.Close()
	}
	return !errors.Is(err, fs.ErrNotExist)
}

// FreeName is a name that nothing in a folder has: base with an ending, and a number
// between them where that is taken.
func FreeName(in Folder, base, ending string) (string, error) {
	names, err := in.Names()
	name := base + ending
	for n := 2; slices.Contains(names, name); n++ {
		name = fmt.Sprintf("%s-%d%s", base, n, ending)
	}
	return name, err
}

// Replace writes a file so that it is there as a whole or as it was before, also behind
// a power cut.
func Replace(in Folder, name string, data []byte) error {
	return ReplaceBy(in, name, func(to io.Writer) error {
		_, err := to.Write(data)
		return err
	})
}

// ReplaceBy does so with what write writes, which may be long. After an error of write the
// file is as it was.
func ReplaceBy(in Folder, name string, write func(to io.Writer) error) error {
	aside := "." + name + ".new"
	if err := in.Remove(aside); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("write %s: %w", name, err)
	}
	f, err := in.Create(aside)
	if err != nil {
		return fmt.Errorf("write %s: %w", name, err)
	}
	if err = write(f); err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = in.Rename(aside, name)
	}
	if err != nil {
		_ = in.Remove(aside)
		return fmt.Errorf("write %s: %w", name, err)
	}
	return in.Sync()
}

// readAll reads what is left of an open file, at most limit bytes.
func readAll(f File, name string, limit int64) ([]byte, error) {
	size, err := f.Size()
	if err != nil {
		return nil, err
	}
	if size > limit {
		return nil, tooLong(name, limit)
	}
	text, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err == nil && int64(len(text)) > limit {
		err = tooLong(name, limit)
	}
	return text, err
}

func tooLong(name string, limit int64) error {
	return fmt.Errorf("%s is too long: want at most %d bytes", name, limit)
}
