//go:build outside && linux

package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/timeline"
)

// storyBench is what comes in while a story happens, without its steps, and how it begins.
const (
	storyBench = "channel 1 aileron 1500\nreceiver main preset period 7ms\n"
	storyStart = "0s signal on\n2m end\n"
)

// onThisDisk starts the program in a folder of its own.
func onThisDisk(t *testing.T) *diskRig {
	r := &diskRig{bench: storyBench + storyStart, segment: "2s", folder: session.Folder(filepath.Join(sockettest.Folder(t), "s")), far: &wire{}}
	r.start(t)
	return r
}

// onSmallDisk starts it on a disk that fills up; mounting wants root.
func onSmallDisk(t *testing.T) *diskRig { return onDisk(t, "-t", "tmpfs", "-o", "size=3m", "none") }

// untilHeard waits until the port was opened so often.
func (r *diskRig) untilHeard(t *testing.T, times int) {
	t.Helper()
	heard := func() bool { return len(ofKind(t, r.folder, event.TapUp)) >= times }
	require.Eventually(t, heard, 20*time.Second, 20*time.Millisecond, "it is heard: %s", r.talk.String())
}

// syncsAre has strace do something to each sync of the program, until it is let go.
func (r *diskRig) syncsAre(t *testing.T, what string) (letGo func()) {
	t.Helper()
	said := &lockedBuffer{}
	strace := exec.CommandContext(t.Context(), "strace", "-f", "-p", strconv.Itoa(r.cmd.Process.Pid), "-o", "/dev/null",
		"-e", "trace=fsync,fdatasync", "-e", "inject=fsync,fdatasync:"+what)
	strace.Stderr = said
	require.NoError(t, strace.Start())
	require.Eventually(t, func() bool { return strings.Contains(said.String(), "attached") }, 10*time.Second, 5*time.Millisecond)
	return func() {
		require.NoError(t, strace.Process.Signal(os.Interrupt))
		_ = strace.Wait() // by the signal
	}
}

// endsWell ends it, as it ends when nothing is wrong.
func (r *diskRig) endsWell(t *testing.T) {
	t.Helper()
	r.end(t)
	require.Equal(t, exitInterrupted, r.cmd.ProcessState.ExitCode(), r.talk.String())
}

// again starts it once more, at another port.
func (r *diskRig) again(t *testing.T) {
	t.Helper()
	r.leave()
	r.start(t)
	r.until(t, 1)
}

// livesAndGaps are how often the session was begun and resumed, and what of it is not recorded.
func (r *diskRig) livesAndGaps(t *testing.T) (lives, gaps int) {
	t.Helper()
	began := ofKind(t, r.folder, event.RecordingGap)
	began = slices.DeleteFunc(began, func(e timeline.Entry) bool { return strings.Contains(string(e.Data), `"ended":true`) })
	return 1 + len(ofKind(t, r.folder, event.SessionResumed)), len(began)
}

// requireReplayed holds the timeline to a replay of the recording but for what came in gaps, and the verdicts
// that were written at the end to those of the replay.
func (r *diskRig) requireReplayed(t *testing.T) {
	t.Helper()
	var lines []string
	s, err := r.folder.ReadSheet()
	require.NoError(t, err)
	again, err := session.OpenReplay(r.folder, s, func(e *event.Event, wall int64) {
		line, err := timeline.Line(nil, e, wall)
		require.NoError(t, err)
		lines = append(lines, string(line))
	})
	require.NoError(t, err)
	require.NoError(t, engine.Run(again.Source, again.Engine, nil))
	require.Empty(t, again.Close())
	journal, err := os.ReadFile(r.folder.Path(session.TimelineFile))
	require.NoError(t, err)
	given, _ := butForGaps(t, string(journal), lines)
	if strings.Contains(r.talk.String(), "judgement was behind") {
		return // it is said, and judged when it is opened again
	}
	require.Equal(t, len(lines), given, "what the recording gives is in the timeline")
	var rec record.Record
	text, err := os.ReadFile(r.folder.Path(record.RecordFile))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &rec))
	for i, c := range again.Engine.Claims() {
		assert.Equal(t, []string{c.ID, string(c.Verdict), c.Sentence}, []string{rec.Claims[i].ID, rec.Claims[i].Verdict, rec.Claims[i].Sentence})
	}
}

// ofLostEvents is said each time of events that came in a gap, and that the disk did not take.
var ofLostEvents = regexp.MustCompile(`^the timeline is not whole: events \d+ to \d+ are lacking$`)

// requireNothingToMend opens what a session left, twice.
func (r *diskRig) requireNothingToMend(t *testing.T) {
	t.Helper()
	for range 2 {
		in, err := files.OpenFolder(string(r.folder))
		require.NoError(t, err)
		said, err := openAndEnd(t, in) // which closes it
		require.NoError(t, err)
		require.Empty(t, slices.DeleteFunc(said, ofLostEvents.MatchString))
	}
}
