// Package sockettest is for tests that listen on a session's socket.
package sockettest

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// Folder is a new folder whose path leaves room for a socket on every system: that of
// t.TempDir is too long for some.
func Folder(t testing.TB) string {
	dir, err := os.MkdirTemp("", "bp")
	require.NoError(t, err)
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return dir
}
