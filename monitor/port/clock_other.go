//go:build !linux

package port

import "time"

var started = time.Now()

// Clock is nanoseconds since the program started, by the system's monotonic
// clock; on some systems it stands while the machine sleeps, which the wall
// clock in the beats then shows.
func Clock() int64 { return int64(time.Since(started)) }
