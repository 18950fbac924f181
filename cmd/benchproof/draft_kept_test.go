package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/session"
)

// A session's folder keeps a draft until its sheet is written; no sheet that is there is written over.
func TestADraftInASessionsFolder(t *testing.T) {
	folder := session.Folder(t.TempDir())
	f := draftFolder{folder}
	_, err := f.Load()
	require.ErrorIs(t, err, fs.ErrNotExist)
	_, _, err = f.Written()
	require.ErrorIs(t, err, fs.ErrNotExist)

	for i, name := range []string{"drafted.yaml", "drafted-2.yaml", "drafted-3.yaml"} {
		require.NoError(t, f.Keep([]byte(`{"format":1}`)))
		kept, err := f.Load()
		require.NoError(t, err)
		assert.JSONEq(t, `{"format":1}`, string(kept))
		sheet := []byte{byte('a' + i)}
		file, err := f.Write(sheet)
		require.NoError(t, err)
		assert.Equal(t, folder.Path(name), file)
		assert.NoFileExists(t, folder.Path(session.DraftFile))
		latest, text, err := f.Written()
		require.NoError(t, err)
		assert.Equal(t, file, latest)
		assert.Equal(t, sheet, text)
	}
	text, err := os.ReadFile(folder.Path("drafted.yaml"))
	require.NoError(t, err)
	assert.Equal(t, "a", string(text))

	elsewhere := filepath.Join(t.TempDir(), "mine.json")
	require.NoError(t, os.WriteFile(elsewhere, []byte("{}"), 0o600))
	if os.Symlink(elsewhere, folder.Path(session.DraftFile)) == nil {
		_, err = f.Load()
		require.Error(t, err, "what lies in a session's folder may come from elsewhere: no link is followed")
		require.NotErrorIs(t, err, fs.ErrNotExist)
	}
}

// What a page kept can be gone on with at a terminal, and the other way round: the file is the same.
func TestADraftIsKeptAlike(t *testing.T) {
	t.Chdir(t.TempDir())
	folder := session.Folder("kept")
	require.NoError(t, os.Mkdir("kept", 0o755))
	require.NoError(t, draftFolder{folder}.Keep([]byte(`{"format":1}`)))
	require.NoError(t, (&draftFile{sheet: "my.yaml", folder: folder}).Keep([]byte(`{"format":1}`)))
	one, err := os.ReadFile("kept/draft.json")
	require.NoError(t, err)
	other, err := os.ReadFile("my.yaml.draft")
	require.NoError(t, err)
	assert.Equal(t, string(one), string(other))
}
