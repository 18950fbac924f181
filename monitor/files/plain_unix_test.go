//go:build unix

package files_test

import (
	"net"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files"
)

// traps are what may lie in a folder in place of a file, and what is said of it.
var traps = map[string]struct {
	plant func(t *testing.T, path string)
	says  string
}{
	"a link out of the folder": {func(t *testing.T, path string) {
		require.NoError(t, os.Symlink(victim(t), path))
	}, "is a link to somewhere else"},
	"a link to another file of the folder": {func(t *testing.T, path string) {
		require.NoError(t, os.WriteFile(path+".other", []byte("other"), 0o600))
		require.NoError(t, os.Symlink(filepath.Base(path)+".other", path))
	}, "is a link to somewhere else"},
	"a link to nothing": {func(t *testing.T, path string) {
		require.NoError(t, os.Symlink("nothing", path))
	}, "is a link to somewhere else"},
	"a pipe": {func(t *testing.T, path string) {
		require.NoError(t, syscall.Mkfifo(path, 0o600))
	}, "is a pipe"},
	"a socket": {func(t *testing.T, path string) {
		short := filepath.Join(shortFolder(t), "s")
		l, err := net.Listen("unix", short)
		require.NoError(t, err)
		t.Cleanup(func() { assert.NoError(t, l.Close()) })
		require.NoError(t, os.Link(short, path))
	}, "is a socket"},
	"a folder": {func(t *testing.T, path string) {
		require.NoError(t, os.Mkdir(path, 0o700))
	}, "is a folder"},
}

func shortFolder(t *testing.T) string {
	dir, err := os.MkdirTemp("", "files")
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, os.RemoveAll(dir)) })
	return dir
}

func victim(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "victim")
	require.NoError(t, os.WriteFile(path, []byte("precious"), 0o600))
	t.Cleanup(func() {
		text, err := os.ReadFile(path)
		assert.NoError(t, err)
		assert.Equal(t, "precious", string(text))
	})
	return path
}

func TestAFolderTakesPlainFilesAlone(t *testing.T) {
	for name, trap := range traps {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			trap.plant(t, filepath.Join(dir, "timeline.jsonl"))
			in, err := files.OpenFolder(dir)
			require.NoError(t, err)
			defer func() { assert.NoError(t, in.Close()) }()
			_, err = in.Open("timeline.jsonl")
			require.ErrorIs(t, err, files.ErrNotPlain)
			require.ErrorContains(t, err, trap.says)
			_, err = in.Edit("timeline.jsonl")
			require.ErrorIs(t, err, files.ErrNotPlain)
			require.ErrorContains(t, err, filepath.Join(dir, "timeline.jsonl"))
			_, err = in.Lock("timeline.jsonl")
			require.ErrorIs(t, err, files.ErrNotPlain)
		})
	}
}

func TestAFileWithASecondNameIsReadAndNotWritten(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Link(victim(t), filepath.Join(dir, "a")))
	in, err := files.OpenFolder(dir)
	require.NoError(t, err)
	defer func() { assert.NoError(t, in.Close()) }()
	text, err := files.Read(in, "a", 100)
	require.NoError(t, err)
	assert.Equal(t, "precious", string(text))
	_, err = in.Edit("a")
	require.ErrorContains(t, err, "has a second name elsewhere (a hard link)")
	require.NoError(t, files.Replace(in, "a", []byte("new")), "the name is replaced, the other file is not written to")
}

func TestFilesThatTheUserNames(t *testing.T) {
	dir := t.TempDir()
	plain := filepath.Join(dir, "sheet.yaml")
	require.NoError(t, os.WriteFile(plain, []byte("sheet: 1\n"), 0o600))
	link := filepath.Join(dir, "link")
	require.NoError(t, os.Symlink(plain, link))
	pipe := filepath.Join(dir, "pipe")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))

	text, err := files.ReadNamed(link, 100)
	require.NoError(t, err, "a link is followed")
	assert.Equal(t, "sheet: 1\n", string(text))
	_, err = files.ReadNamed(plain, 3)
	require.ErrorContains(t, err, "want at most 3 bytes")
	for path, says := range map[string]string{
		pipe: "is a pipe", "/dev/zero": "is a device", "/dev/tty": "", dir: "is a folder", filepath.Join(dir, "none"): "no such file",
	} {
		_, err := files.ReadNamed(path, 100)
		require.ErrorContains(t, err, says, path)

	}
	require.ErrorContains(t, files.WriteNamed(pipe, nil), "is a pipe")

	require.NoError(t, files.WriteNamed(link, []byte("sheet: 2\n")))
	text, err = os.ReadFile(plain)
	require.NoError(t, err)
	assert.Equal(t, "sheet: 2\n", string(text), "through the link, which stays")
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&os.ModeSymlink)
	require.NoError(t, files.WriteNamed(filepath.Join(dir, "new"), []byte("x")))
}
