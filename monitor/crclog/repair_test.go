package crclog_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/crclog"
)

func file(t *testing.T, content []byte) string {
	path := filepath.Join(t.TempDir(), "lines.jsonl")
	require.NoError(t, os.WriteFile(path, content, 0o600))
	return path
}

func content(t *testing.T, path string) []byte {
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	return b
}

func TestRepairCutsOnlyTheTail(t *testing.T) {
	whole := lines(5)
	whole[lineLen+5] ^= 1
	for cut := range 2*lineLen + 1 {
		torn := whole[:len(whole)-cut]
		path := file(t, torn)
		good := len(torn) / lineLen * lineLen
		n, aside, err := crclog.Repair(path)
		require.NoError(t, err)
		require.Equal(t, int64(len(torn)-good), n)
		require.Equal(t, torn[:good], content(t, path), "damage in the middle stays")
		if n == 0 {
			require.Empty(t, aside)
			continue
		}
		require.Equal(t, torn[good:], content(t, aside))
		n, aside, err = crclog.Repair(path)
		require.NoError(t, err)
		require.Zero(t, n, "a second repair finds nothing")
		require.Empty(t, aside)
	}
}

func TestRepairNeverOverwritesWhatIsAside(t *testing.T) {
	path := file(t, append(lines(1), "first"...))
	_, one, err := crclog.Repair(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, append(lines(1), "second"...), 0o600))
	_, two, err := crclog.Repair(path)
	require.NoError(t, err)
	assert.Equal(t, "first", string(content(t, one)))
	assert.Equal(t, "second", string(content(t, two)))
	assert.Equal(t, one+".2", two)
}

func TestRepairRefuses(t *testing.T) {
	_, _, err := crclog.Repair(filepath.Join(t.TempDir(), "none"))
	require.ErrorIs(t, err, os.ErrNotExist)
	path := file(t, lines(1))
	for _, good := range []int64{-1, 1000} {
		_, _, err = crclog.CutTail(path, good)
		require.ErrorContains(t, err, "cut torn tail")
	}
	assert.Equal(t, lines(1), content(t, path))
}

var errDisk = errors.New("no space left on device")

// disk fails at the named call.
type disk struct {
	fail  string
	calls []string
}

func (d *disk) call(name string) error {
	d.calls = append(d.calls, name)
	if name == d.fail {
		return errDisk
	}
	return nil
}

func (d *disk) ReadAt(p []byte, _ int64) (int, error) { return len(p), d.call("read") }
func (d *disk) Truncate(int64) error                  { return d.call("cut") }
func (d *disk) Sync() error                           { return d.call("sync") }

type copied struct{ d *disk }

func (c copied) Write(p []byte) (int, error) { return len(p), c.d.call("write copy") }
func (c copied) Sync() error                 { return c.d.call("sync copy") }
func (c copied) Close() error                { return c.d.call("close copy") }

func TestNothingIsCutBeforeItsCopyIsSafe(t *testing.T) {
	order := []string{"read", "write copy", "sync copy", "close copy", "cut", "sync"}
	d := &disk{}
	require.NoError(t, crclog.MoveTail(d, copied{d}, 10, 5))
	require.Equal(t, order, d.calls)
	for i, call := range order {
		d := &disk{fail: call}
		require.ErrorIs(t, crclog.MoveTail(d, copied{d}, 10, 5), errDisk, call)
		if i < 4 {
			assert.NotContains(t, d.calls, "cut", call)
		}
		assert.Contains(t, d.calls, "close copy", call)
	}
}
