//go:build unix

package port

import (
	"os"
	"strconv"
	"syscall"

	"go.bug.st/serial"
)

// openBesideChildren opens a port by the library so that no program which this one starts
// gets it too: the library does not ask for that, and a child that outlives us would keep
// the port claimed. No child begins between the two steps.
func openBesideChildren(path string, mode *serial.Mode) (serial.Port, error) {
	syscall.ForkLock.RLock()
	defer syscall.ForkLock.RUnlock()
	p, err := serial.Open(path, mode)
	if err != nil {
		return nil, err
	}
	open, _ := os.ReadDir("/dev/fd") // without it the port is heard all the same
	for _, entry := range open {
		if fd, err := strconv.Atoi(entry.Name()); err == nil && fd > 2 {
			syscall.CloseOnExec(fd)
		}
	}
	return p, nil
}
