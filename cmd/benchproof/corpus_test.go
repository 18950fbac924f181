package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/record"
	"benchproof.example/monitor/session"
)

// corpusReplay is, beside a session of the corpus, what this build makes of it.
const corpusReplay = "replay.jsonl"

// corpusOf are the sessions of the corpus, by the model of their sheets.
func corpusOf(t *testing.T) map[string][]string {
	t.Helper()
	folders, err := filepath.Glob("../../testdata/corpus/*/sheet.yaml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(folders), 20)
	models := map[string][]string{}
	for _, path := range folders {
		folder := filepath.Dir(path)
		s, err := session.Folder(folder).ReadSheet()
		require.NoError(t, err)
		models[s.Model] = append(models[s.Model], folder)
	}
	return models
}

// What earlier builds recorded is read by this one, and stays what it was.
func TestTheCorpusIsRead(t *testing.T) {
	for model, folders := range corpusOf(t) {
		require.Greater(t, len(folders), 1, "%s has no other session to be compared with", model)
		for i, frozen := range folders {
			t.Run(filepath.Base(frozen), func(t *testing.T) {
				t.Parallel()
				other := folders[(i+1)%len(folders)]
				home := t.TempDir()
				for _, folder := range []string{frozen, other} {
					require.NoError(t, os.CopyFS(filepath.Join(home, filepath.Base(folder)), os.DirFS(folder)))
				}
				a, b := filepath.Join(home, filepath.Base(frozen)), filepath.Join(home, filepath.Base(other))
				replaysTheSame(t, frozen, a)
				reports(t, model, a)
				compares(t, model, a, b)
				decodes(t, a)
				verifies(t, a)
				requireFrozen(t, frozen, a)
				requireFrozen(t, other, b)
			})
		}
	}
}

// replaysTheSame holds events and verdicts to those that somebody last read.
func replaysTheSame(t *testing.T, frozen, folder string) {
	code, out, talk := call(t, "replay", folder)
	if code != exitDone && code != exitWrong {
		require.Equal(t, exitUsage, code, talk)
		require.Contains(t, talk, "its end was never written")
	}
	golden(t, filepath.Join(frozen, corpusReplay), out)
}

func reports(t *testing.T, model, folder string) {
	code, out, talk := call(t, "report", folder)
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, out, model+": ")
	assert.FileExists(t, filepath.Join(folder, record.PageFile))
	data, err := os.ReadFile(filepath.Join(folder, "record.json"))
	require.NoError(t, err)
	r, err := record.Decode(data)
	require.NoError(t, err)
	assert.Equal(t, model, r.Model)
}

func compares(t *testing.T, model, then, now string) {
	code, out, talk := call(t, "compare", then, now)
	assert.Contains(t, []int{exitDone, exitWrong}, code, talk)
	assert.True(t, strings.HasPrefix(out, model+": "), out)
}

func decodes(t *testing.T, folder string) {
	code, out, talk := call(t, "decode", folder)
	if code == exitUsage {
		assert.Regexp(t, "the recording (is damaged|ends in the middle)", talk, "what is hurt says where")
	} else {
		assert.Contains(t, []int{exitDone, exitWrong}, code, talk)
	}
	lines := strings.Split(strings.TrimSpace(out), "\n")
	assert.Greater(t, len(lines), 100)
	assert.False(t, slices.ContainsFunc(lines, func(line string) bool { return !json.Valid([]byte(line)) }))
}

// verifies: what an earlier build left is whole, but where it was left torn.
func verifies(t *testing.T, folder string) {
	code, out, talk := call(t, "session", "verify", folder)
	if filepath.Base(folder) == "reedwing-torn" {
		assert.Equal(t, exitUsage, code, talk)
		assert.Contains(t, out, "half-written")
	} else {
		assert.Equal(t, exitDone, code, out+talk)
	}
	_, err := os.Stat(filepath.Join(folder, "recording-000001.pcapng.zst"))
	assert.Equal(t, err != nil, strings.Contains(out, "not chained"), out)
}

// requireFrozen holds the files of a session to what they were.
func requireFrozen(t *testing.T, frozen, folder string) {
	files, err := os.ReadDir(frozen)
	require.NoError(t, err)
	for _, f := range files {
		if f.Name() == corpusReplay {
			continue
		}
		was, err := os.ReadFile(filepath.Join(frozen, f.Name()))
		require.NoError(t, err)
		is, err := os.ReadFile(filepath.Join(folder, f.Name()))
		require.NoError(t, err)
		require.Equal(t, was, is, "%s of %s", f.Name(), frozen)
	}
}
