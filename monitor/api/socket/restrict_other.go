//go:build !windows

package socket

import "os"

// restrict keeps a socket for its owner alone.
func restrict(path string) error { return os.Chmod(path, 0o600) }
