package tap

import "golang.org/x/sys/unix"

// Clock is nanoseconds since the machine started, sleep included.
func Clock() int64 {
	var t unix.Timespec
	if unix.ClockGettime(unix.CLOCK_BOOTTIME, &t) != nil {
		_ = unix.ClockGettime(unix.CLOCK_MONOTONIC, &t)
	}
	return t.Nano()
}
