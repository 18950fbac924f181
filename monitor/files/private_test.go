//go:build unix

package files_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files"
)

func TestAPrivateFolderIsItsOwnersAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "above", "secrets")
	in, err := files.MakePrivate(path)
	require.NoError(t, err)
	require.NoError(t, files.Replace(in, "key", []byte("k")))
	require.NoError(t, in.Close())
	for name, want := range map[string]os.FileMode{path: 0o700, filepath.Join(path, "key"): 0o600} {
		info, err := os.Stat(name)
		require.NoError(t, err)
		assert.Equal(t, want, info.Mode().Perm(), name)
	}

	in, err = files.MakePrivate(path)
	require.NoError(t, err)
	key, err := files.Read(in, "key", 10)
	require.NoError(t, err)
	assert.Equal(t, "k", string(key))
	require.NoError(t, os.Chmod(filepath.Join(path, "key"), 0o640))
	_, err = files.Read(in, "key", 10)
	require.ErrorIs(t, err, files.ErrNotPrivate)
	require.NoError(t, in.Close())

	for _, mode := range []os.FileMode{0o750, 0o705, 0o711} {
		require.NoError(t, os.Chmod(path, mode))
		_, err = files.MakePrivate(path)
		require.ErrorIs(t, err, files.ErrNotPrivate, mode)
	}
	require.NoError(t, os.Chmod(path, 0o700))
	link := filepath.Join(t.TempDir(), "link")
	require.NoError(t, os.WriteFile(link, nil, 0o600))
	_, err = files.MakePrivate(link)
	require.Error(t, err, "a file is no folder")
}
