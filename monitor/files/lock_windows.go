package files

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// TryLock locks an open file until it is closed; false: somebody has it.
func TryLock(f *os.File) (bool, error) {
	const how = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	err := windows.LockFileEx(windows.Handle(f.Fd()), how, 0, 1, 0, &windows.Overlapped{})
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return false, nil
	}
	return err == nil, err
}
