//go:build unix

package session

import "golang.org/x/sys/unix"

// space is how many bytes are free on the disk of a folder, -1 where that is not
// known. It may take as long as the disk does.
func space(folder string) int64 {
	var s unix.Statfs_t
	if unix.Statfs(folder, &s) != nil {
		return -1
	}
	return int64(s.Bavail) * int64(s.Bsize) //nolint:unconvert // its type differs between systems
}
