package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/unit"
)

// What an earlier build recorded is read by this one, and stays what it was.
func TestAnOldSessionIsRead(t *testing.T) {
	home := t.TempDir()
	for _, name := range []string{"a", "b"} {
		require.NoError(t, os.CopyFS(filepath.Join(home, name), os.DirFS("../../testdata/oldsession")))
	}
	a, b := filepath.Join(home, "a"), filepath.Join(home, "b")
	code, out, talk := call(t, "replay", a)
	assert.Contains(t, []int{exitDone, exitWrong}, code, talk)
	for _, line := range strings.Split(strings.TrimSpace(out), "\n") {
		assert.True(t, json.Valid([]byte(line)), line)
	}
	assert.Contains(t, out, `"kind":"session.ended"`)
	code, out, talk = call(t, "report", a)
	assert.Equal(t, exitDone, code, talk)
	assert.Contains(t, out, "Reedwing 1400: ")
	code, out, talk = call(t, "compare", a, b)
	assert.Equal(t, exitDone, code, talk)
	assert.NotEmpty(t, out)
	for _, name := range []string{"sheet.yaml", "recording.pcapng", "timeline.jsonl"} {
		was, err := os.ReadFile(filepath.Join("../../testdata/oldsession", name))
		require.NoError(t, err)
		is, err := os.ReadFile(filepath.Join(a, name))
		require.NoError(t, err)
		assert.Equal(t, was, is, name)
	}
}

// A replay reports where judgement failed, but not for every frame of a day.
func TestAReplayTellsWhereJudgementFailed(t *testing.T) {
	var talk strings.Builder
	tell := faultPrinter(&talk)
	for range 100 {
		tell(&engine.Fault{At: unit.Second, Event: 3, FaultData: engine.FaultData{Input: "bytes", Fault: "out of range"}, Stack: []byte("watch.go:17\n")})
	}
	assert.Equal(t, 16, strings.Count(talk.String(), "benchproof: judgement failed at 1000000000 ns (event 3), at an input of kind bytes: out of range\nwatch.go:17\n"))
}
