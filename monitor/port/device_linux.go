package port

import (
	"fmt"
	"os"

	"golang.org/x/sys/unix"

	"benchproof.example/monitor/files"
)

// Device numbers that are no serial ports (devices.txt of the Linux kernel's
// documentation): memory and its like, virtual consoles, and the process's own terminal
// with the system console.
const (
	majorMemory   = 1
	majorConsole  = 4 // minors below firstSerial
	majorTerminal = 5 // minors below firstSerial
	firstSerial   = 64
)

// checkDevice refuses what is no serial port by its kind and number, before it is opened.
// A port that is not there is left to the opening.
func checkDevice(path string) error {
	var s unix.Stat_t
	if err := unix.Stat(path, &s); err != nil {
		return nil
	}
	major, minor := unix.Major(s.Rdev), unix.Minor(s.Rdev)
	console := (major == majorConsole || major == majorTerminal) && minor < firstSerial
	if s.Mode&unix.S_IFMT != unix.S_IFCHR || major == majorMemory || console {
		return fmt.Errorf("open %s: %w", path, errNoTerminal)
	}
	return nil
}

// lockDevice has two programs of ours keep off each other on one device, whatever it was
// called: the claim on a port does not bind root. The lock is on the device itself, so it
// is for those alone who may open that. A device that can't be locked is listened to all
// the same.
func lockDevice(f *os.File) bool {
	got, err := files.TryLock(f)
	return got || err != nil
}
