//go:build outside

package monitor_test

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The scenarios in the tree are what the scripts beside them write; a machine
// without python3 fails.
func TestByHandIsWhatItsScriptsWrite(t *testing.T) {
	python, err := exec.LookPath("python3")
	require.NoError(t, err, "the outside check needs python3")
	fresh := t.TempDir()
	out, err := exec.Command(python, filepath.Join(byHand, "make.py"), fresh).CombinedOutput()
	require.NoError(t, err, string(out))

	written := map[string]bool{}
	require.NoError(t, fs.WalkDir(os.DirFS(fresh), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		written[path] = true
		want, err := os.ReadFile(filepath.Join(fresh, path))
		require.NoError(t, err)
		got, err := os.ReadFile(filepath.Join(byHand, path))
		require.NoError(t, err)
		assert.Equal(t, want, got, "%s is not what the scripts write", path)
		return nil
	}))
	for _, s := range scenarios(t) {
		assert.True(t, written[s.name+"/recording.pcapng"], "%s: no script writes it", s.name)
	}
}
