package files

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// What the owner alone may do, where a system has such rights: where it has none, the
// folder's own say who may.
const (
	ownersFolder = 0o700
	ownersFile   = 0o600
	othersRights = 0o077
)

// othersMay is said of what is to be the owner's alone.
const othersMay = "others than its owner may open %s, so what it keeps is no secret any more"

// ErrNotPrivate says that others can open what is to be a secret.
var ErrNotPrivate = errors.New("not the owner's alone")

// MakePrivate opens a folder of secrets and makes it, and those above it, where they are
// lacking: its owner alone can open it and the files that are made in it. One that others
// can open is refused.
func MakePrivate(path string) (Folder, error) {
	if err := makeAll(filepath.Dir(filepath.Clean(path))); err != nil {
		return nil, fmt.Errorf("make the folder: %w", err)
	}
	if err := os.Mkdir(path, ownersFolder); err != nil && !errors.Is(err, fs.ErrExist) {
		return nil, fmt.Errorf("make the folder: %w", err)
	}
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("open the folder: %w", err)
	}
	if err := private(path, info); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(path)
	if err != nil {
		return nil, fmt.Errorf("open the folder: %w", err)
	}
	return &folder{path: path, root: root, secret: true}, nil
}

// private is nil for what its owner alone can open.
func private(path string, info fs.FileInfo) error {
	if runtime.GOOS == "windows" || info.Mode().Perm()&othersRights == 0 {
		return nil
	}
	return fmt.Errorf(othersMay+": %w", path, ErrNotPrivate)
}
