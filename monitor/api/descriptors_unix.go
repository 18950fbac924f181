//go:build unix

package api

import (
	"math"

	"golang.org/x/sys/unix"
)

// descriptors is how many ports, files and connections this process may have
// open.
func descriptors() int {
	var limit unix.Rlimit
	if err := unix.Getrlimit(unix.RLIMIT_NOFILE, &limit); err != nil {
		return math.MaxInt32
	}
	return int(min(limit.Cur, math.MaxInt32))
}
