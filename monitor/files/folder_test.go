package files_test

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/files"
	"benchproof.example/monitor/files/filestest"
)

// both runs a test on the disk that is there and on the one in memory: they are one thing
// to who uses them.
func both(t *testing.T, test func(t *testing.T, in files.Folder)) {
	t.Run("real", func(t *testing.T) {
		in, err := files.OpenFolder(t.TempDir())
		require.NoError(t, err)
		t.Cleanup(func() { assert.NoError(t, in.Close()) })
		test(t, in)
	})
	t.Run("in memory", func(t *testing.T) { test(t, filestest.New()) })
}

func TestFolder(t *testing.T) {
	both(t, func(t *testing.T, in files.Folder) {
		_, err := in.Open("none")
		require.ErrorIs(t, err, fs.ErrNotExist)
		f, err := in.Create("one")
		require.NoError(t, err)
		_, err = in.Create("one")
		require.ErrorIs(t, err, fs.ErrExist)
		_, err = f.Write([]byte("hello world"))
		require.NoError(t, err)
		_, err = f.WriteAt([]byte("HE"), 0)
		require.NoError(t, err)
		require.NoError(t, f.Truncate(5))
		size, err := f.Size()
		require.NoError(t, err)
		assert.Equal(t, int64(5), size)
		require.NoError(t, f.Sync())
		_, err = f.Seek(-3, io.SeekEnd)
		require.NoError(t, err)
		rest, err := io.ReadAll(f)
		require.NoError(t, err)
		assert.Equal(t, "llo", string(rest))

		assert.True(t, in.Holds("one", f))
		require.NoError(t, in.Rename("one", "two"))
		assert.False(t, in.Holds("one", f))
		assert.True(t, in.Holds("two", f))
		require.NoError(t, f.Close())

		f, err = in.Edit("two")
		require.NoError(t, err)
		_, err = f.Write([]byte("J"))
		require.NoError(t, err)
		require.NoError(t, f.Close())
		text, err := files.Read(in, "two", 5)
		require.NoError(t, err)
		assert.Equal(t, "JEllo", string(text))
		_, err = files.Read(in, "two", 4)
		require.ErrorContains(t, err, "two is too long: want at most 4 bytes")

		names, err := in.Names()
		require.NoError(t, err)
		assert.Equal(t, []string{"two"}, names)
		require.NoError(t, in.Remove("two"))
		require.ErrorIs(t, in.Remove("two"), fs.ErrNotExist)
		assert.False(t, files.Exists(in, "two"))
		require.NoError(t, in.Sync())
	})
}

func TestLock(t *testing.T) {
	path := t.TempDir()
	one, err := files.OpenFolder(path)
	require.NoError(t, err)
	two, err := files.OpenFolder(path)
	require.NoError(t, err)
	got, err := one.Lock("lock")
	require.NoError(t, err)
	assert.True(t, got)
	got, err = two.Lock("lock")
	require.NoError(t, err)
	assert.False(t, got, "somebody has it")
	require.NoError(t, one.Close())
	got, err = two.Lock("lock")
	require.NoError(t, err)
	assert.True(t, got)
	require.NoError(t, two.Close())
}

func TestReplaceIsWholeOrAsItWas(t *testing.T) {
	both(t, func(t *testing.T, in files.Folder) {
		for _, text := range []string{"first", "second"} {
			require.NoError(t, files.Replace(in, "record.json", []byte(text)))
			got, err := files.Read(in, "record.json", 100)
			require.NoError(t, err)
			assert.Equal(t, text, string(got))
		}
		names, err := in.Names()
		require.NoError(t, err)
		assert.Equal(t, []string{"record.json"}, names)
	})
}

// A power cut at any call leaves the old file or the new one, and the new one once
// Replace has returned.
func TestReplaceBehindAPowerCut(t *testing.T) {
	was, is := bytes.Repeat([]byte("old "), 100), bytes.Repeat([]byte("news "), 100)
	for seed := range uint64(200) {
		luck := rand.New(rand.NewPCG(seed, 0))
		d := filestest.New()
		d.Put("record.json", was)
		d.Before = func(filestest.Call) error {
			got := d.PowerCut(luck).Content("record.json")
			require.True(t, bytes.Equal(got, was) || bytes.Equal(got, is), "%q", got)
			return nil
		}
		require.NoError(t, files.Replace(d, "record.json", is))
		require.Equal(t, is, d.PowerCut(luck).Content("record.json"))
	}
}

// The disk in memory loses what a real one may: without the sync of file or folder that
// shows within a few seeds.
func TestThePowerCutFindsAMissingSync(t *testing.T) {
	for _, left := range []string{"sync", "sync folder"} {
		lost := 0
		for seed := range uint64(50) {
			d := filestest.New()
			f, err := d.Create("a")
			require.NoError(t, err)
			_, err = f.Write([]byte("data"))
			require.NoError(t, err)
			if left != "sync" {
				require.NoError(t, f.Sync())
			}
			if left != "sync folder" {
				require.NoError(t, d.Sync())
			}
			if string(d.PowerCut(rand.New(rand.NewPCG(seed, 0))).Content("a")) != "data" {
				lost++
			}
		}
		assert.Greater(t, lost, 10, left)
	}
}

func TestReplaceSaysWhatADiskRefuses(t *testing.T) {
	full := errors.New("no space left")
	for _, op := range []string{"create", "write", "sync", "rename", "sync folder"} {
		d := filestest.New()
		d.Put("x", []byte("old"))
		d.Before = func(c filestest.Call) error {
			if c.Op == op {
				return full
			}
			return nil
		}
		require.ErrorIs(t, files.Replace(d, "x", []byte("new")), full, op)
		if op != "sync folder" {
			assert.Equal(t, "old", string(d.Content("x")), op)
		}
	}
}

func TestOnlyNamesNoPaths(t *testing.T) {
	dir := t.TempDir()
	in, err := files.OpenFolder(dir)
	require.NoError(t, err)
	defer func() { assert.NoError(t, in.Close()) }()
	for _, name := range []string{"", ".", "..", "../x", "a/b", filepath.Join(dir, "x")} {
		_, err := in.Open(name)
		require.ErrorIs(t, err, fs.ErrInvalid, name)
		_, err = in.Edit(name)
		require.ErrorIs(t, err, fs.ErrInvalid, name)
		require.ErrorIs(t, in.Remove(name), fs.ErrInvalid, name)
		require.ErrorIs(t, in.Rename("x", name), fs.ErrInvalid, name)
	}
}

func TestMakeFolder(t *testing.T) {
	path := filepath.Join(t.TempDir(), "sessions", "model", "day")
	in, err := files.MakeFolder(path)
	require.NoError(t, err)
	assert.Equal(t, path, in.Path())
	require.NoError(t, in.Close())
	again, err := files.MakeFolder(path)
	require.NoError(t, err)
	require.NoError(t, again.Close())

	file := filepath.Join(path, "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	_, err = files.MakeFolder(filepath.Join(file, "below"))
	require.ErrorContains(t, err, "make the folder")
	_, err = files.OpenFolder(filepath.Join(path, "none"))
	require.ErrorIs(t, err, fs.ErrNotExist)
}

// A folder that was moved or deleted under an open file does not hold it any more.
func TestHoldsByThePath(t *testing.T) {
	path := filepath.Join(t.TempDir(), "session")
	in, err := files.MakeFolder(path)
	require.NoError(t, err)
	defer func() { assert.NoError(t, in.Close()) }()
	f, err := in.Create("a")
	require.NoError(t, err)
	defer func() { assert.NoError(t, f.Close()) }()
	require.True(t, in.Holds("a", f))
	require.NoError(t, os.Rename(path, path+".moved"))
	assert.False(t, in.Holds("a", f))
	require.NoError(t, os.RemoveAll(path+".moved"))
	assert.False(t, in.Holds("a", f))
}
