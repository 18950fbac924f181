package main

import (
	"context"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// manager is the socket that a service manager listens on.
func manager(t *testing.T) (*net.UnixConn, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "notify")
	conn, err := net.ListenUnixgram("unixgram", &net.UnixAddr{Name: path, Net: "unixgram"})
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, conn.Close()) })
	return conn, path
}

// told is the next thing that the manager is told: the state and the status.
func told(t *testing.T, conn *net.UnixConn) (state, status string) {
	t.Helper()
	require.NoError(t, conn.SetReadDeadline(time.Now().Add(20*time.Second)))
	buf := make([]byte, 4096)
	n, err := conn.Read(buf)
	require.NoError(t, err)
	state, status, found := strings.Cut(string(buf[:n]), "\nSTATUS=")
	require.True(t, found, "%q", buf[:n])
	return state, status
}

// The program speaks to a service manager as Type=notify wants it: ready
// although the port is missing, alive while it judges, stopping when asked to.
func TestTheServiceManagerIsTold(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "sheet.yaml"), sheet.Starter(), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "bench.yaml"), []byte("sheet: sheet.yaml\nbus: [none]\n"), 0o600))

	conn, path := manager(t)
	var talk strings.Builder
	cmd := exec.CommandContext(t.Context(), os.Args[0], "watch", "--config", "bench.yaml", "--session", "session")
	cmd.Dir, cmd.Stderr = dir, &talk
	cmd.Env = append(os.Environ(), asProgram+"=1", "NOTIFY_SOCKET="+path)
	require.NoError(t, cmd.Start())
	state, _ := told(t, conn)
	assert.Equal(t, "READY=1", state, "a missing port is a state")
	assert.FileExists(t, filepath.Join(dir, "session", "recording.pcapng"), "the session is open")
	for range 2 {
		state, status := told(t, conn)
		assert.Equal(t, "WATCHDOG=1", state)
		assert.Regexp(t, `^main GONE \| -- \| throttle -- \| gain -- \| 0:0\d \| `, status)
	}
	require.NoError(t, cmd.Process.Signal(syscall.SIGTERM))
	for state != "STOPPING=1" {
		state, _ = told(t, conn)
	}
	var exit *exec.ExitError
	require.ErrorAs(t, cmd.Wait(), &exit)
	assert.Equal(t, exitInterrupted, exit.ExitCode(), talk.String())
}

// Time alone keeps no watchdog quiet: without a judged beat nothing is reported.
func TestTheWatchdogIsToldOfJudgedBeatsOnly(t *testing.T) {
	conn, path := manager(t)
	t.Setenv("NOTIFY_SOCKET", path)
	now := state.State{
		NowNS: unit.Time(75 * unit.Second), SeenNS: unit.Time(75 * unit.Second), Recorder: state.Recorder{Recording: true},
		Taps: []state.Tap{{Name: "main", Kind: "bus", Up: true, LastNS: -1}},
	}
	s := newSupervised(&sheet.Sheet{}, func() state.State { return now }, func(err error) { t.Error(err) })
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan struct{})
	go func() { defer close(ended); s.run(ctx) }()
	state, status := told(t, conn)
	assert.Equal(t, "READY=1", state)
	assert.Equal(t, "main nothing heard yet | 1:15", status)
	for range 3 {
		s.judged()
		state, _ = told(t, conn)
		assert.Equal(t, "WATCHDOG=1", state)
	}
	stop()
	<-ended
	state, _ = told(t, conn)
	assert.Equal(t, "STOPPING=1", state, "nothing came between the last beat and the end")
	require.NoError(t, conn.SetReadDeadline(time.Now()))
	_, err := conn.Read(make([]byte, 1))
	assert.ErrorIs(t, err, os.ErrDeadlineExceeded)
}

// A service manager that is gone is a notice, not an end.
func TestAServiceManagerThatIsGoneIsSaid(t *testing.T) {
	t.Setenv("NOTIFY_SOCKET", filepath.Join(t.TempDir(), "none"))
	var said []string
	s := newSupervised(&sheet.Sheet{}, func() state.State { return state.State{} }, func(err error) { said = append(said, err.Error()) })
	ctx, stop := context.WithCancel(t.Context())
	stop()
	s.run(ctx)
	require.Len(t, said, 2)
	assert.Contains(t, said[0], "the service manager can't be told READY=1: ")
	assert.Contains(t, said[1], "the service manager can't be told STOPPING=1: ")
}
