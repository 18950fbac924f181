package filestest

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files"
)

// Folder opens a folder of the disk that is there, for the time of a test.
func Folder(t testing.TB, path string) files.Folder {
	t.Helper()
	in, err := files.OpenFolder(path)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, in.Close()) })
	return in
}
