//go:build linux || darwin

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/session"
)

// Who has no sheet yet sees what comes in, and which channel moves; it is recorded, goes on,
// replays and is reported like any session, and nothing is judged.
func TestWatchWithoutASheet(t *testing.T) {
	t.Chdir(sockettest.Folder(t))
	ctx, stop := context.WithCancel(t.Context())
	out, done := &firstLine{line: make(chan string, 1)}, make(chan int, 1)
	go func() { done <- run(ctx, []string{"simulate"}, out, &bytes.Buffer{}) }()
	defer func() {
		stop()
		assert.Equal(t, exitInterrupted, <-done)
	}()
	ports := strings.Fields(<-out.line)[4:] // behind watch --sheet FILE
	watch := func(until string, more ...string) (heard, talk string) {
		listening, enough := context.WithTimeout(t.Context(), time.Minute)
		defer enough()
		said := &untilSaid{text: until, stop: enough}
		code, talk := callTo(listening, strings.NewReader(""), said, append(append([]string{"watch", "--session", "kept"}, ports...), more...)...)
		assert.Equal(t, exitInterrupted, code, talk)
		return said.String(), talk
	}

	heard, talk := watch("channel 2 moved")
	assert.Contains(t, talk, "NOTHING IS JUDGED")
	assert.Contains(t, heard, "main: 18 channels come in, µs: 1: 1500, ")
	assert.Contains(t, heard, "Nothing was judged: there was no sheet to hold it against.")
	assert.Contains(t, heard, "benchproof replay kept --sheet mymodel.yaml")
	assert.NotContains(t, heard, "claim")
	again, _ := watch("18 channels come in") // by the sheet that it began with
	assert.Contains(t, again, "session goes on")

	code, lines, talk := call(t, "replay", "kept")
	require.Equal(t, exitDone, code, talk)
	written, err := os.ReadFile(session.Folder("kept").Path(session.TimelineFile))
	require.NoError(t, err)
	assert.Equal(t, string(written), lines)
	code, _, talk = call(t, "session", "verify", "kept")
	assert.Equal(t, exitDone, code, talk)

	code, said, talk := call(t, "report", "kept")
	require.Equal(t, exitDone, code, talk)
	assert.Contains(t, said, "Nothing was judged")
	page, err := os.ReadFile(session.Folder("kept").Path(record.PageFile))
	require.NoError(t, err)
	assert.Contains(t, string(page), "What each channel did, at the tap main")
	assert.NotContains(t, string(page), "Nothing was seen wrong")
	code, text, talk := call(t, "report", "kept", "--json")
	require.Equal(t, exitDone, code, talk)
	var r record.Record
	require.NoError(t, json.Unmarshal([]byte(text), &r))
	assert.Empty(t, r.Claims)
	require.Len(t, r.Taps[0].Ranges, 18)
	assert.Positive(t, r.Taps[0].Ranges[1].Moves)
	assert.True(t, r.Taps[0].Ranges[17].Digital)
}

func TestASheetWithoutChannelsIsVerified(t *testing.T) {
	t.Chdir(t.TempDir())
	require.NoError(t, os.WriteFile("listen.yaml", []byte("sheet: 1\nmodel: x\nchannels: {}\n"), 0o600))
	code, out, talk := call(t, "sheet", "verify", "listen.yaml")
	assert.Equal(t, exitDone, code, talk)
	assert.Equal(t, "listen.yaml is in order: x, 0 channels, 0 modes, 1 taps\n"+
		"It has no channels: watch shows by it what all channels do, and judges nothing.\n", out)
}

func TestWatchWantsSomethingToListenTo(t *testing.T) {
	t.Chdir(t.TempDir())
	code, _, talk := call(t, "watch")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "what to listen to? name the adapter's port with --bus PORT")
}
