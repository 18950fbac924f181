package files

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// OpenFolder opens a folder of the disk that is there.
func OpenFolder(path string) (Folder, error) {
	root, err := os.OpenRoot(path)
	if err != nil {
		return nil, fmt.Errorf("open the folder: %w", err)
	}
	return &folder{path: path, root: root}, nil
}

// MakeFolder opens a folder of the disk and makes it, and those above it, where they are
// lacking. Their names are on the disk when it returns.
func MakeFolder(path string) (Folder, error) {
	if err := makeAll(path); err != nil {
		return nil, fmt.Errorf("make the folder: %w", err)
	}
	return OpenFolder(path)
}

// makeAll makes a folder from the top down and syncs each that got a new name in it.
func makeAll(path string) error {
	info, err := os.Stat(path)
	switch {
	case err == nil && !info.IsDir():
		return fmt.Errorf("%s is a file, not a folder", path)
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	above := filepath.Dir(filepath.Clean(path))
	if err := makeAll(above); err != nil {
		return err
	}
	if err := os.Mkdir(path, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return syncFolder(above)
}

// folder is a Folder on the disk. It stays the same one if its path is moved.
type folder struct {
	path   string
	root   *os.Root
	lock   *os.File
	secret bool // its files are their owner's alone
}

// file is a File on the disk.
type file struct {
	*os.File
}

func (f file) Size() (int64, error) {
	info, err := f.Stat()
	if err != nil {
		return 0, err
	}
	return info.Size(), nil
}

func (d *folder) Path() string { return d.path }

func (d *folder) Open(name string) (File, error) { return d.open(name, os.O_RDONLY) }

func (d *folder) Edit(name string) (File, error) {
	f, err := d.open(name, os.O_RDWR)
	if errors.Is(err, fs.ErrNotExist) {
		if f, err = d.Create(name); errors.Is(err, fs.ErrExist) {
			return d.open(name, os.O_RDWR)
		}
	}
	return f, err
}

func (d *folder) Create(name string) (File, error) {
	if err := d.own(name); err != nil {
		return nil, err
	}
	mode := fs.FileMode(0o644)
	if d.secret {
		mode = ownersFile
	}
	f, err := d.root.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return nil, d.about(err)
	}
	return file{f}, nil
}

// open opens a plain file that is there. What the name leads to is looked at before, and
// once more when it is open: it may have been swapped in between.
func (d *folder) open(name string, flags int) (File, error) {
	if err := d.own(name); err != nil {
		return nil, err
	}
	was, err := d.root.Lstat(name)
	if err != nil {
		return nil, d.about(err)
	}
	if err := plain(filepath.Join(d.path, name), was.Mode()); err != nil {
		return nil, err
	}
	f, err := d.root.OpenFile(name, flags|openAtOnce, 0)
	if err != nil {
		return nil, d.about(err)
	}
	if err := d.stillThe(was, f, flags); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return file{f}, nil
}

// stillThe says whether an open file is the one that was looked at. One that is to be
// written to has no second name outside, to which it would be written as well.
func (d *folder) stillThe(was fs.FileInfo, f *os.File, flags int) error {
	is, err := f.Stat()
	if err != nil {
		return err
	}
	name := filepath.Join(d.path, was.Name())
	if err := plain(name, is.Mode()); err != nil {
		return err
	}
	if d.secret {
		if err := private(name, is); err != nil {
			return err
		}
	}
	if !os.SameFile(was, is) {
		return fmt.Errorf("%s was replaced while it was opened: %w", name, ErrNotPlain)
	}
	if flags&os.O_RDWR != 0 && names(is) > 1 {
		return fmt.Errorf("%s has a second name elsewhere (a hard link), where it would change as well: "+
			"copy the folder, and use the copy: %w", name, ErrNotPlain)
	}
	return nil
}

// own refuses what is a path, not a name.
func (d *folder) own(name string) error {
	if name == "" || name == "." || name == ".." || filepath.Base(name) != name {
		return fmt.Errorf("got %q, want the name of a file in %s: %w", name, d.path, fs.ErrInvalid)
	}
	return nil
}

// about has an error name the whole path.
func (d *folder) about(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return &fs.PathError{Op: at.Op, Path: filepath.Join(d.path, at.Path), Err: at.Err}
	}
	return err
}

func (d *folder) Rename(from, to string) error {
	if err := errors.Join(d.own(from), d.own(to)); err != nil {
		return err
	}
	return d.root.Rename(from, to)
}

func (d *folder) Remove(name string) error {
	if err := d.own(name); err != nil {
		return err
	}
	return d.about(d.root.Remove(name))
}

func (d *folder) Names() ([]string, error) {
	f, err := d.root.Open(".")
	if err != nil {
		return nil, d.about(err)
	}
	list, err := f.Readdirnames(-1)
	slices.Sort(list)
	return list, errors.Join(err, f.Close())
}

func (d *folder) Holds(name string, f File) bool {
	own, onDisk := f.(file)
	if !onDisk {
		return false
	}
	is, err := own.Stat()
	if err != nil {
		return false
	}
	by, err := os.Lstat(filepath.Join(d.path, name))
	return err == nil && os.SameFile(is, by)
}

func (d *folder) Sync() error {
	f, err := d.root.Open(".")
	if err != nil {
		return d.about(err)
	}
	return errors.Join(syncNames(f), f.Close())
}

func (d *folder) Lock(name string) (bool, error) {
	f, err := d.Edit(name)
	if err != nil {
		return false, err
	}
	own := f.(file).File
	if got, err := TryLock(own); !got {
		return false, errors.Join(err, own.Close())
	}
	d.lock = own
	return true, nil
}

func (d *folder) Close() error {
	err := d.root.Close()
	if d.lock != nil {
		err = errors.Join(err, d.lock.Close())
	}
	return err
}

// syncFolder makes the names in a folder safe.
func syncFolder(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(syncNames(f), f.Close())
}
