package main

import (
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/session"
)

// Sessions that begin in one second, even at once, have a folder each.
func TestEachNewSessionHasItsOwnFolder(t *testing.T) {
	below, now := t.TempDir(), time.Date(2026, 5, 2, 11, 0, 0, 0, time.UTC)
	folder := func(name string) session.Folder {
		return session.Folder(filepath.Join(below, "reedwing-1400", name))
	}
	for _, want := range []string{"2026-05-02-110000", "2026-05-02-110000-2", "2026-05-02-110000-3"} {
		got, err := newFolder(below, "Reedwing 1400", now)
		require.NoError(t, err)
		assert.Equal(t, folder(want), got)
		assert.DirExists(t, string(got))
	}
	got, err := newFolder(below, "Reedwing 1400", now.Add(time.Second))
	require.NoError(t, err)
	assert.Equal(t, folder("2026-05-02-110001"), got)

	var all sync.Map
	var made sync.WaitGroup
	for range 8 {
		made.Go(func() {
			f, err := newFolder(below, "other", now)
			assert.NoError(t, err)
			_, again := all.LoadOrStore(f, true)
			assert.False(t, again, f)
		})
	}
	made.Wait()
}

func TestNoFolderForASession(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	_, err := newFolder(file, "m", time.Now())
	require.ErrorContains(t, err, "make a folder for the session")
}

func TestFolderName(t *testing.T) {
	for model, want := range map[string]string{"Reedwing 1400": "reedwing-1400", "Möwe": "m-we", " ": "model", "../x": "x"} {
		assert.Equal(t, want, folderName(model))
	}
}
