package main

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/timeline"
)

const quietBench = `
channel 1 aileron 1500
receiver main preset period 7ms
0s signal on
60s end
`

// The program is stopped for a moment while the bus goes on into the port: that
// is one line, and all the rest is as before.
func TestAProgramThatStandsStillSaysSoOnce(t *testing.T) {
	dir := t.TempDir()
	sheetFile, folder := filepath.Join(dir, "sheet.yaml"), session.Folder(filepath.Join(dir, "s"))
	require.NoError(t, os.WriteFile(sheetFile, sheet.Starter(), 0o600))

	scripted, err := script.Parse("quiet", []byte(quietBench))
	require.NoError(t, err)
	ports, err := world.OpenPTYs(1)
	require.NoError(t, err)
	defer func() { assert.NoError(t, ports.Close()) }()
	ctx, stop := context.WithCancel(t.Context())
	var bench sync.WaitGroup
	bench.Go(func() { _ = world.Play(ctx, world.New(&scripted.Plan, 1), ports.Ends(), world.RealTime{}) })
	defer func() { stop(); bench.Wait() }()

	cmd := exec.CommandContext(t.Context(), os.Args[0], "watch", "--sheet", sheetFile, "--bus", ports.Paths()[0], "--session", string(folder))
	cmd.Env = append(os.Environ(), asProgram+"=1")
	require.NoError(t, cmd.Start())
	until := func(kind string) {
		require.Eventually(t, func() bool { return len(ofKind(t, folder, kind)) > 0 }, 30*time.Second, 20*time.Millisecond, kind)
	}
	goesOn := func() { // for more than a second
		was := size(folder)
		require.Eventually(t, func() bool { return size(folder) > was+20_000 }, 30*time.Second, 20*time.Millisecond)
	}
	until(event.PeriodChanged)
	goesOn()
	before := ofKind(t, folder, "")
	require.NoError(t, cmd.Process.Signal(syscall.SIGSTOP))
	time.AfterFunc(1500*time.Millisecond, func() { _ = cmd.Process.Signal(syscall.SIGCONT) })
	until(event.BusLate)
	goesOn()
	after := ofKind(t, folder, "")
	require.NoError(t, cmd.Process.Signal(syscall.SIGTERM))
	var exit *exec.ExitError
	require.True(t, errors.As(cmd.Wait(), &exit))

	assert.Equal(t, []string{event.BusLate}, kindsOf(after[len(before):]))
	again := exec.CommandContext(t.Context(), os.Args[0], "replay", string(folder))
	again.Env = cmd.Env
	replayed, _ := again.Output()
	assert.Contains(t, string(replayed), `"`+event.BusLate+`"`)
	journal, err := os.ReadFile(folder.Path(session.TimelineFile))
	require.NoError(t, err)
	assert.True(t, bytes.HasPrefix(replayed, journal), "the replay says the same")
}

func size(folder session.Folder) int64 {
	info, err := os.Stat(folder.Path(session.RecordingFile))
	if err != nil {
		return 0
	}
	return info.Size()
}

// ofKind are the whole lines of a journal, or those of a kind.
func ofKind(t *testing.T, folder session.Folder, kind string) (list []timeline.Entry) {
	text, _ := os.ReadFile(folder.Path(session.TimelineFile)) // not there yet: none
	for line := range bytes.Lines(text) {
		if !bytes.HasSuffix(line, []byte("\n")) {
			break
		}
		e, err := timeline.Parse(bytes.TrimSuffix(line, []byte("\n")))
		require.NoError(t, err)
		if kind == "" || e.Kind == kind {
			list = append(list, e)
		}
	}
	return list
}

func kindsOf(list []timeline.Entry) (kinds []string) {
	for _, e := range list {
		kinds = append(kinds, e.Kind)
	}
	return kinds
}
