package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/session"
)

// frozenCopy is a session of the corpus that something may be done to.
func frozenCopy(t *testing.T, name string) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Join("../../testdata/corpus", name))))
	return folder
}

// An export of the whole of a session is replayed and decoded as the session itself.
func TestAnExportOfTheWholeIsJudgedAlike(t *testing.T) {
	for model, folders := range corpusOf(t) {
		for _, folder := range folders {
			t.Run(model+" "+filepath.Base(folder), func(t *testing.T) {
				t.Parallel()
				file := filepath.Join(t.TempDir(), "whole.pcapng")
				code, out, talk := call(t, "session", "export", folder, "-o", file)
				require.Equal(t, exitDone, code, talk)
				require.Empty(t, out)
				assert.Regexp(t, `^\d+ inputs, from 20\d\d-`, talk)
				wantCode, want, _ := call(t, "replay", folder)
				code, got, talk := call(t, "replay", file, "--sheet", filepath.Join(folder, session.SheetFile))
				assert.Equal(t, want, got, talk)
				if filepath.Base(folder) != "reedwing-torn" { // its end is nobody's input
					assert.Equal(t, wantCode, code, talk)
				}
				_, want, _ = call(t, "decode", folder)
				_, got, _ = call(t, "decode", file)
				assert.Equal(t, want, got)
				code, got, talk = call(t, "session", "export", folder)
				require.Equal(t, exitDone, code, talk)
				text, err := os.ReadFile(file)
				require.NoError(t, err)
				assert.Equal(t, string(text), got, "on standard output")
			})
		}
	}
}

func TestAnExportOfASpan(t *testing.T) {
	folder := frozenCopy(t, "reedwing-all-well")
	dir := t.TempDir()
	since, dated := filepath.Join(dir, "since.pcapng"), filepath.Join(dir, "dated.pcapng")
	code, _, talk := call(t, "session", "export", folder, "--from", "5s", "--to", "7s", "-o", since)
	require.Equal(t, exitDone, code, talk)
	begun, err := session.Folder(folder).Begun()
	require.NoError(t, err)
	date := func(s int64) string { return time.Unix(0, begun.WallNS+s*1e9).UTC().Format(time.RFC3339Nano) }
	code, again, talk := call(t, "session", "export", folder, "--from", date(5), "--to", date(7), "-o", dated)
	require.Equal(t, exitDone, code, again+talk)
	a, err := os.ReadFile(since)
	require.NoError(t, err)
	b, err := os.ReadFile(dated)
	require.NoError(t, err)
	assert.Equal(t, a, b)
	code, out, talk := call(t, "decode", since)
	assert.Equal(t, exitDone, code, talk)
	assert.NotEmpty(t, out)
}

// A part of a session says that it is one, wherever it is judged; what needs no beginning,
// does not.
func TestAPartOfASessionSaysThatItIsOne(t *testing.T) {
	const says = `this is a part of (a|the) recording( of session [0-9a-f]{32})?: it begins with input \d+, and what was heard before is not in it`
	dir := t.TempDir()
	part := filepath.Join(dir, session.RecordingFile)
	folder := frozenCopy(t, "reedwing-all-well")
	code, _, talk := call(t, "session", "export", folder, "--from", "5s", "-o", part)
	require.Equal(t, exitDone, code, talk)
	text, err := os.ReadFile(filepath.Join(folder, session.SheetFile))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, session.SheetFile), text, 0o600))
	for _, args := range [][]string{{"replay", part}, {"replay", dir}, {"report", dir}} {
		code, _, talk = call(t, args...)
		assert.Equal(t, exitUsage, code, "%v", args)
		assert.Regexp(t, says, talk, "%v", args)
	}
	code, out, _ := call(t, "session", "verify", dir)
	assert.Equal(t, exitUsage, code)
	assert.Regexp(t, says, out)
	code, out, talk = call(t, "decode", part)
	require.Equal(t, exitDone, code, talk)
	assert.Greater(t, strings.Count(out, "\n"), 1000, "frames are frames")

	whole := filepath.Join(dir, "whole.pcapng")
	code, _, talk = call(t, "session", "export", folder, "--to", "5s", "-o", whole)
	require.Equal(t, exitDone, code, talk)
	_, _, talk = call(t, "replay", whole)
	assert.Empty(t, talk, "it begins where the session began")
}

func TestVerifyOfASession(t *testing.T) {
	folder := frozenCopy(t, "reedwing-resumed")
	code, out, talk := call(t, "session", "verify", folder)
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, out, "is as it was written: inputs: 791; parts of the recording: 1, packed: 0; events: 60; checkpoints: 2\n")
	assert.Contains(t, out, "  but: it is not chained")
	require.NoError(t, os.Truncate(filepath.Join(folder, session.TimelineFile), 5000))
	code, out, talk = call(t, "session", "verify", folder)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, out, "is NOT as it was written")
	assert.Contains(t, out, "of the timeline are half-written")
	assert.Equal(t, "benchproof: the session is not as it was written\n", talk)
	code, out, _ = call(t, "session", "verify", folder, "--json")
	assert.Equal(t, exitUsage, code)
	var found session.Verified
	require.NoError(t, json.Unmarshal([]byte(out), &found))
	assert.Len(t, found.Faults, 1)
	assert.False(t, found.Chained)
}

// What a session is asked for that it can't give gets a code and a sentence.
func TestSentencesAboutSessions(t *testing.T) {
	folder, empty := frozenCopy(t, "reedwing-all-well"), t.TempDir()
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"session"}, "which? session export FOLDER"},
		{[]string{"session", "export", empty}, "has no recording"},
		{[]string{"session", "export", empty + "/none"}, "no such file"},
		{[]string{"session", "export", folder, "--from", "1h"}, "nothing was recorded in that span"},
		{[]string{"session", "export", folder, "--to", "0s"}, "want a later moment than the session's start"},
		{[]string{"session", "export", folder, "--from", "yesterday"}, "got --from yesterday, want a time since the session began, such as 90s"},
		{[]string{"session", "verify", empty}, "no recording"},
		{[]string{"session", "verify", empty + "/none"}, "no such file"},
	} {
		code, out, talk := call(t, c.args...)
		assert.Equal(t, exitUsage, code, "%v", c.args)
		assert.Contains(t, talk, c.want, "%v", c.args)
		assert.Empty(t, out)
	}
	file := filepath.Join(empty, "kept.pcapng")
	require.NoError(t, os.WriteFile(file, []byte("was here"), 0o600))
	call(t, "session", "export", folder, "--from", "1h", "-o", file)
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "was here", string(text), "what was there stays where nothing was exported")
}

// A session that was thinned says so wherever it is judged again; what was not thinned is
// there, and the timeline stays.
func TestThinOfASession(t *testing.T) {
	folder := frozenCopy(t, "reedwing-segments")
	journal, err := os.ReadFile(filepath.Join(folder, session.TimelineFile))
	require.NoError(t, err)
	code, _, talk := call(t, "session", "thin", folder, "--before", "2020-01-01", "--yes")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "no packed part of this session ends before 2020-01-01T00:00:00Z: nothing is thinned")
	code, _, talk = call(t, "session", "thin", folder)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, `got --before "", want a date, such as 2026-05-01`)

	const before = "2026-11-21T00:00:10Z"
	code, out, talk := call(t, "session", "thin", folder, "--before", before, "--yes")
	assert.Equal(t, exitUsage, code)
	assert.Empty(t, out)
	assert.Contains(t, talk, "parts that stay whole, since something happened in them or within a minute of them: 2")
	assert.Contains(t, talk, "something happened in or beside each part that ends before then: nothing is thinned")

	path := filepath.Join(folder, session.TimelineFile)
	require.NoError(t, os.WriteFile(path, nil, 0o600)) // a session in which nothing happened
	for _, c := range []struct {
		answer, want string
		code         int
	}{
		{"", "nothing was thinned; answer yes, or give --yes, to do it", exitUsage},
		{"y\n", "nothing was thinned", exitUsage},
		{"yes\n", "recording-000001.pcapng.zst to recording-000002.pcapng.zst, for ever", exitDone},
	} {
		code, out, talk := callIn(t.Context(), strings.NewReader(c.answer), "session", "thin", folder, "--before", before)
		assert.Equal(t, c.code, code, talk)
		assert.Contains(t, talk, c.want)
		assert.Equal(t, c.code == exitDone, strings.Contains(out, "recording-000002.pcapng.zst was thinned\n"), out)
	}
	code, _, talk = call(t, "session", "thin", folder, "--before", before, "--yes")
	assert.Equal(t, exitUsage, code, talk)
	require.NoError(t, os.WriteFile(path, journal, 0o600))

	const says = "the session can't be judged again whole: recording-000001.pcapng.zst was thinned, "
	code, out, talk = call(t, "replay", folder)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, says)
	assert.Contains(t, out, `"kind":"session.began"`)
	assert.Contains(t, out, `"text":"from here on with the throttle"`)
	assert.Contains(t, out, "thinned: what was heard then was taken away")
	code, out, talk = call(t, "report", folder, "--json")
	assert.Equal(t, exitDone, code, talk)
	assert.Contains(t, out, says)
	code, out, talk = call(t, "session", "verify", folder)
	assert.Equal(t, exitDone, code, out+talk)
	assert.Contains(t, out, "  but: "+says)
	code, out, talk = call(t, "decode", folder)
	assert.Equal(t, exitDone, code, talk)
	assert.NotEmpty(t, out)
	now, err := os.ReadFile(filepath.Join(folder, session.TimelineFile))
	require.NoError(t, err)
	assert.Equal(t, journal, now)
}
