//go:build unix

package files

import (
	"io/fs"
	"os"
	"syscall"
)

// openAtOnce has the opening of a pipe return at once.
const openAtOnce = syscall.O_NONBLOCK

// names is how many names a file has.
func names(info fs.FileInfo) uint64 {
	if s, ok := info.Sys().(*syscall.Stat_t); ok {
		return uint64(s.Nlink) //nolint:unconvert // it is narrower on other systems
	}
	return 1
}

// syncNames makes the names in an open folder safe.
func syncNames(f *os.File) error { return f.Sync() }
