package session_test

import (
	"context"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

// busy is a bench on which much happens, at two receivers: one behind an adapter
// that clumps and drops frames, one that hands over soon.
const busyBench = simtest.Model + "receiver main preset after 300ms\n" + simtest.Presets + `link main loss 3% burst 3
wire main missing 0.5% damage 0.05%
adapter main clump 16ms
receiver rear hold after 300ms
link rear loss 1% burst 2
wire rear damage 0.02%
0s signal on
`

// busyScript repeats a round of switches and losses.
func busyScript(t *testing.T, rounds int) *script.Script {
	var text strings.Builder
	text.WriteString(busyBench)
	for i := range rounds {
		base := time.Duration(i) * 4 * time.Second
		for _, step := range []struct {
			at   time.Duration
			what string
		}{
			{200, "inner middle"}, {500, "stir aileron elevator for 600ms"}, {900, "inner front"}, {1300, "outer front"},
			{1700, "signal off"}, {2600, "signal on"}, {3000, "outer back"}, {3400, "inner back"},
		} {
			text.WriteString((base + step.at*time.Millisecond).String() + " " + step.what + "\n")
		}
	}
	text.WriteString((time.Duration(rounds) * 4 * time.Second).String() + " end\n")
	s, err := script.Parse("busy", []byte(text.String()))
	require.NoError(t, err)
	return s
}

// A daemon that is killed at fifty random moments and started again each time
// leaves a recording whose replays all give the timeline that it journalled.
func TestKilledFiftyTimes(t *testing.T) {
	dir := t.TempDir()
	binary := filepath.Join(dir, "benchproof")
	out, err := exec.CommandContext(t.Context(), "go", "build", "-o", binary, "benchproof.example/cmd/benchproof").CombinedOutput()
	require.NoError(t, err, string(out))
	sheetPath, folder := filepath.Join(dir, "sheet.yaml"), filepath.Join(dir, "session")
	text := strings.Replace(string(simtest.Sheet()), "\ntaps:\n", "\ntaps:\n  rear: {kind: bus, carries: heard}\n", 1)
	require.NoError(t, os.WriteFile(sheetPath, []byte(text), 0o600))

	ports, err := world.OpenPTYs(2)
	require.NoError(t, err)
	t.Cleanup(func() { _ = ports.Close() })
	ctx, stop := context.WithCancel(t.Context())
	var playing sync.WaitGroup
	playing.Go(func() { _ = world.Play(ctx, world.New(&busyScript(t, 60).Plan, 7), ports.Ends(), world.RealTime{}) })
	t.Cleanup(func() {
		stop()
		playing.Wait()
	})
	watch := func() *exec.Cmd {
		cmd := exec.CommandContext(t.Context(), binary, "watch", "--sheet", sheetPath, "--session", folder, "--checkpoint-beats", "1",
			"--bus", "main="+ports.Paths()[0], "--bus", "rear="+ports.Paths()[1])
		cmd.Dir = dir
		require.NoError(t, cmd.Start())
		return cmd
	}
	rng := rand.New(rand.NewPCG(1, uint64(time.Now().UnixNano())))
	for range 50 {
		cmd := watch()
		wait(t, time.Duration(100+rng.IntN(2200))*time.Millisecond)
		require.NoError(t, cmd.Process.Kill())
		require.ErrorContains(t, cmd.Wait(), "killed")
	}
	cmd := watch()
	wait(t, 1500*time.Millisecond)
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	_ = cmd.Wait()
	require.Equal(t, 130, cmd.ProcessState.ExitCode())

	events, checkpoints := requireSameEverywhere(t, folder)
	t.Logf("%d events, %d checkpoints", events, checkpoints)
	assert.Greater(t, events, 150)
	assert.Greater(t, checkpoints, 10)
	replay, _ := exec.CommandContext(t.Context(), binary, "replay", folder).Output()
	journal, err := os.ReadFile(session.Folder(folder).Timeline())
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(string(replay), string(journal)), "the timeline comes before the claims")
}

// wait lets the daemon, a process of its own with a clock of its own, run for a
// while: when it is killed is what this test is about.
func wait(t *testing.T, d time.Duration) {
	t.Helper()
	select {
	case <-time.After(d):
	case <-t.Context().Done():
		t.Fatal("stopped")
	}
}
