package port

import (
	"unsafe"

	"golang.org/x/sys/unix"
)

// Clock is nanoseconds since the machine started, sleep included. The call is raw
// for the same reason as the reads of a port: it never waits, and it is made for
// each of them.
func Clock() int64 {
	var t unix.Timespec
	if _, _, errno := unix.RawSyscall(unix.SYS_CLOCK_GETTIME, unix.CLOCK_BOOTTIME, uintptr(unsafe.Pointer(&t)), 0); errno != 0 {
		_ = unix.ClockGettime(unix.CLOCK_MONOTONIC, &t)
	}
	return t.Nano()
}
