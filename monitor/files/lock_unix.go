//go:build unix

package files

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// TryLock locks an open file, or a device, until it is closed; false: somebody has it.
// The lock is advice for those who ask for it, of this program first of all.
func TryLock(f *os.File) (bool, error) {
	raw, err := f.SyscallConn()
	if err != nil {
		return false, err
	}
	var locked error
	if err := raw.Control(func(fd uintptr) { locked = unix.Flock(int(fd), unix.LOCK_EX|unix.LOCK_NB) }); err != nil {
		return false, err
	}
	if errors.Is(locked, unix.EWOULDBLOCK) {
		return false, nil
	}
	return locked == nil, locked
}
