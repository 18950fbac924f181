package files

import (
	"fmt"
	"io/fs"
)

// plain is nil for a plain file, and else says what it is instead.
func plain(name string, mode fs.FileMode) error {
	what := ""
	switch {
	case mode.IsRegular():
		return nil
	case mode.IsDir():
		what = "a folder"
	case mode&fs.ModeSymlink != 0:
		what = "a link to somewhere else"
	case mode&fs.ModeNamedPipe != 0:
		what = "a pipe"
	case mode&fs.ModeSocket != 0:
		what = "a socket"
	case mode&fs.ModeDevice != 0:
		what = "a device"
	default:
		what = "something else"
	}
	return fmt.Errorf("%s is %s: %w", name, what, ErrNotPlain)
}
