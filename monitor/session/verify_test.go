package session_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/session"
)

// verified is what a whole verification of a session finds, by the judge of the sittings.
func verified(t testing.TB, folder string) *session.Verified {
	t.Helper()
	v, err := session.Verify(t.Context(), session.Folder(folder), "0123456789abcdef", "test")
	require.NoError(t, err)
	return v
}

// long is a session of two sittings in many segments, some of them packed.
func long(t *testing.T, folder string) {
	for seed := range uint64(2) {
		s := inSegments(folder, 10, "main")
		require.NoError(t, s.listen(t, "good", seed, 60*time.Second))
		time.Sleep(time.Second)
	}
}

// copyOf is a session that something may be done to.
func copyOf(t *testing.T, folder string) string {
	other := filepath.Join(t.TempDir(), "s")
	require.NoError(t, os.CopyFS(other, os.DirFS(folder)))
	return other
}

func TestVerifyFindsAWholeSessionWhole(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		long(t, folder)
		v := verified(t, folder)
		assert.Empty(t, v.Faults)
		assert.Empty(t, v.Notes)
		assert.True(t, v.Chained)
		assert.True(t, v.SameBuild)
		assert.Greater(t, v.Packed, 5)
		assert.Greater(t, v.Segments, v.Packed)
		assert.Greater(t, v.Checkpoints, int64(v.Packed))
		assert.Equal(t, v.Events, v.Compared)
		v, err := session.Verify(t.Context(), session.Folder(folder), "fedcba9876543210", "test")
		require.NoError(t, err)
		assert.Empty(t, v.Faults)
		assert.False(t, v.SameBuild)
	})
}

// one is a file of a session by its pattern.
func one(t *testing.T, folder, pattern string) string {
	list, err := filepath.Glob(filepath.Join(folder, pattern))
	require.NoError(t, err)
	require.Len(t, list, 1, pattern)
	return list[0]
}

// rewrite has a file's content changed.
func rewrite(t *testing.T, path string, change func([]byte) []byte) {
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, change(text), 0o600))
}

// What is done to any part of a session is found, and said.
func TestVerifyFindsWhatWasDone(t *testing.T) {
	home := t.TempDir()
	whole, other := filepath.Join(home, "whole"), filepath.Join(home, "other")
	synctest.Test(t, func(t *testing.T) {
		long(t, whole)
		long(t, other)
	})
	for name, c := range map[string]struct {
		do   func(t *testing.T, folder string)
		says string
	}{
		"a segment deleted": {func(t *testing.T, f string) { require.NoError(t, os.Remove(one(t, f, "recording-000002.*"))) }, "the segments 2 to 2 are gone"},
		"the first deleted": {func(t *testing.T, f string) { require.NoError(t, os.Remove(one(t, f, "recording-000001.*"))) }, "what was heard before is not in it"},
		"the last deleted": {func(t *testing.T, f string) { require.NoError(t, os.Remove(one(t, f, "recording.pcapng"))) },
			"the last segment, recording.pcapng, is gone"},
		"two exchanged": {func(t *testing.T, f string) {
			a, b := one(t, f, "recording-000002.*"), one(t, f, "recording-000003.*")
			require.NoError(t, os.Rename(a, a+".aside"))
			require.NoError(t, os.Rename(b, a))
			require.NoError(t, os.Rename(a+".aside", b))
		}, "the recording is damaged in recording-000003"},
		"another's segment": {func(t *testing.T, f string) {
			text, err := os.ReadFile(one(t, other, "recording-000003.*"))
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(one(t, f, "recording-000003.*"), text, 0o600))
		}, "part of another session"},
		"a packed segment hurt": {func(t *testing.T, f string) {
			rewrite(t, one(t, f, "recording-000002.*"), func(b []byte) []byte { b[len(b)/2] ^= 1; return b })
		}, "the recording is damaged in recording-000002"},
		"the recording cut at a border": {func(t *testing.T, f string) {
			list, err := filepath.Glob(filepath.Join(f, "recording-*"))
			require.NoError(t, err)
			last := list[len(list)-1]
			require.NoError(t, os.Remove(one(t, f, "recording.pcapng")))
			require.NoError(t, os.Rename(last, filepath.Join(f, "recording.pcapng")))
		}, ""},
		"a line deleted": {onLines(func(l []string) []string { return append(l[:5:5], l[6:]...) }), "events 6 to 6 are lacking"},
		"lines cut off":  {onLines(func(l []string) []string { return l[:len(l)-9] }), "the timeline was longer"},
		"lines put anew": {onLines(func(l []string) []string { l[4], l[5] = l[5], l[4]; return l }), "stands behind event"},
		"a line damaged": {onLines(func(l []string) []string { l[7] = strings.Replace(l[7], "1", "2", 1); return l }), "the timeline is damaged"},
		"half a line":    {onLines(func(l []string) []string { l[len(l)-1] = l[len(l)-1][:20]; return l }), "half-written"},
		"the timeline":   {func(t *testing.T, f string) { require.NoError(t, os.Remove(one(t, f, "timeline.jsonl"))) }, "there is no timeline.jsonl"},
		"lines numbered": {onNumbered(func(l []string) []string { return append(l[:5:5], l[6:]...) }), "is not as it was written"},
		"another's states": {func(t *testing.T, f string) {
			text, err := os.ReadFile(one(t, other, "checkpoints.jsonl"))
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(one(t, f, "checkpoints.jsonl"), text, 0o600))
		}, "are of another session"},
		"a state damaged": {func(t *testing.T, f string) {
			rewrite(t, one(t, f, "checkpoints.jsonl"), func(b []byte) []byte { b[100] ^= 1; return b })
		}, "checkpoints.jsonl: 1 damaged lines"},
	} {
		t.Run(name, func(t *testing.T) {
			folder := copyOf(t, whole)
			c.do(t, folder)
			before := contents(t, folder)
			v, err := session.Verify(t.Context(), session.Folder(folder), "0123456789abcdef", "test")
			require.NoError(t, err)
			if said := v.Faults; name != "another's states" {
				assert.NotEmpty(t, said)
				assert.Contains(t, strings.Join(said, "\n"), c.says)
			} else {
				assert.Contains(t, strings.Join(v.Notes, "\n"), c.says)
			}
			assert.Equal(t, before, contents(t, folder), "it changes nothing")
		})
	}
}

func onLines(change func([]string) []string) func(*testing.T, string) {
	return func(t *testing.T, folder string) {
		path := session.Folder(folder).Path(session.TimelineFile)
		require.NoError(t, os.WriteFile(path, []byte(strings.Join(change(linesOf(t, path)), "")), 0o600))
	}
}

func onNumbered(change func([]string) []string) func(*testing.T, string) {
	return func(t *testing.T, folder string) {
		path := session.Folder(folder).Path(session.TimelineFile)
		require.NoError(t, os.WriteFile(path, []byte(strings.Join(numbered(t, change(linesOf(t, path))), "")), 0o600))
	}
}

func contents(t *testing.T, folder string) map[string]string {
	all := map[string]string{}
	list, err := os.ReadDir(folder)
	require.NoError(t, err)
	for _, e := range list {
		text, err := os.ReadFile(filepath.Join(folder, e.Name()))
		require.NoError(t, err)
		all[e.Name()] = string(text)
	}
	return all
}

// While it is recorded, the ends of its files are still being written.
func TestVerifyOfASessionThatRuns(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		s := inSegments(folder, 10, "main")
		live, err := s.open()
		require.NoError(t, err)
		ctx, stop := timeout(t, 60*time.Second)
		defer stop()
		seen := 0
		looks := func(ctx context.Context) {
			for ctx.Err() == nil {
				time.Sleep(7300 * time.Millisecond)
				v := verified(t, folder)
				assert.Empty(t, v.Faults)
				assert.True(t, v.Running)
				seen++
			}
		}
		require.NoError(t, live.Run(ctx, play(live.Seq, named(t, "good"), 1), looks))
		assert.Greater(t, seen, 6)
	})
}

// What a power cut took from the ends is said once, at the next opening, and is no fault for
// ever.
func TestVerifyBehindAPowerCut(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		folder := filepath.Join(t.TempDir(), "s")
		f := session.Folder(folder)
		s := newSitting(folder, "main")
		require.NoError(t, s.listen(t, "good", 1, 50*time.Second))
		info, err := os.Stat(f.Path(session.RecordingFile))
		require.NoError(t, err)
		require.NoError(t, os.Truncate(f.Path(session.RecordingFile), info.Size()*2/3))
		assert.Contains(t, strings.Join(verified(t, folder).Faults, "\n"), "the recording was longer")
		lines := linesOf(t, f.Path(session.TimelineFile))
		require.NoError(t, os.WriteFile(f.Path(session.TimelineFile), []byte(strings.Join(lines[:len(lines)/2], "")), 0o600))
		for seed := range uint64(2) {
			s = newSitting(folder, "main")
			live, err := s.open()
			require.NoError(t, err)
			ctx, stop := timeout(t, 60*time.Second)
			defer stop()
			require.NoError(t, live.Run(ctx, play(live.Seq, named(t, "good"), seed)))
			if seed > 0 {
				assert.Empty(t, live.Notices)
			}
			assert.Empty(t, verified(t, folder).Faults)
		}
	})
}
