package session_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
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

// kills is how often the daemon is killed: few times, or as often as BENCHPROOF_SEEDS says.
func kills(t *testing.T) int {
	text := os.Getenv("BENCHPROOF_SEEDS")
	if text == "" {
		return 15
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err)
	return max(15, n)
}

// killRig is a daemon of its own, with a simulated bench at two serial lines.
type killRig struct {
	dir, binary, sheet, folder string
	ports                      *world.PTYs
}

func newKillRig(t *testing.T, rounds int) *killRig {
	dir, err := os.MkdirTemp("", "killed") // short: a socket lies in it
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, os.RemoveAll(dir)) })
	k := &killRig{dir: dir, binary: filepath.Join(dir, "benchproof"), sheet: filepath.Join(dir, "sheet.yaml"), folder: filepath.Join(dir, "session")}
	out, err := exec.CommandContext(t.Context(), "go", "build", "-o", k.binary, "benchproof.example/cmd/benchproof").CombinedOutput()
	require.NoError(t, err, string(out))
	text := strings.Replace(string(simtest.Sheet()), "\ntaps:\n", "\ntaps:\n  rear: {kind: bus, carries: heard}\n", 1)
	require.NoError(t, os.WriteFile(k.sheet, []byte(text), 0o600))
	k.ports, err = world.OpenPTYs(2)
	require.NoError(t, err)
	t.Cleanup(func() { _ = k.ports.Close() })
	ctx, stop := context.WithCancel(t.Context())
	var playing sync.WaitGroup
	playing.Go(func() {
		_ = world.Play(ctx, world.New(&busyScript(t, rounds).Plan, 7), k.ports.Ends(), world.RealTime{})
	})
	t.Cleanup(func() {
		stop()
		playing.Wait()
	})
	return k
}

// watch starts the daemon, with segments of less than a second: as often as one is closed, it may be killed in between.
func (k *killRig) watch(t *testing.T) *exec.Cmd {
	cmd := exec.CommandContext(t.Context(), k.binary, "watch", "--sheet", k.sheet, "--session", k.folder, "--checkpoint-beats", "1",
		"--segment", "700ms", "--bus", "main="+k.ports.Paths()[0], "--bus", "rear="+k.ports.Paths()[1])
	cmd.Dir = k.dir
	require.NoError(t, cmd.Start())
	return cmd
}

// killed is how much of a recording stands on disk.
type killed struct{ checkpoints, segments int }

func (k killed) atLeast(wanted killed) bool {
	return k.checkpoints >= wanted.checkpoints && k.segments >= wanted.segments
}

// kept is what the daemons left on disk up to now.
func (k *killRig) kept(t *testing.T) killed {
	folder := filestest.Folder(t, k.folder)
	segments, err := recording.Segments(folder)
	require.NoError(t, err)
	checkpoints, err := recording.ReadCheckpoints(folder, session.CheckpointsFile)
	require.NoError(t, err)
	return killed{checkpoints: len(checkpoints), segments: len(segments)}
}

// marker puts marks in for as long as a daemon answers, and keeps those that it said were
// recorded.
type marker struct {
	folder   string
	n        int
	answered []string
}

func (m *marker) run(ctx context.Context) {
	for ctx.Err() == nil {
		daemon, err := client.Dial(m.folder)
		if err != nil { // it is not there yet, or not any more
			pause(ctx)
			continue
		}
		for err == nil {
			pause(ctx)
			m.n++
			text := fmt.Sprintf("mark %d", m.n)
			var a client.Accepted
			if a, err = daemon.Mark(ctx, text); err == nil && a.Recorded {
				m.answered = append(m.answered, text)
			}
		}
		daemon.Close()
	}
}

// pause is how far apart marks are, and attempts to reach a daemon.
func pause(ctx context.Context) {
	select {
	case <-ctx.Done():
	case <-time.After(30 * time.Millisecond):
	}
}

// A daemon that is killed at random moments and started again each time leaves a recording
// in segments whose replays all give the timeline that it journalled, with each mark in it
// that was answered as recorded.
func TestKilledManyTimes(t *testing.T) {
	n := kills(t)
	k := newKillRig(t, n)
	m := &marker{folder: k.folder}
	ctx, stop := context.WithCancel(t.Context())
	var marking sync.WaitGroup
	marking.Go(func() { m.run(ctx) })
	t.Cleanup(marking.Wait)
	t.Cleanup(stop)
	rng := rand.New(rand.NewPCG(1, uint64(time.Now().UnixNano())))
	for range n {
		cmd := k.watch(t)
		wait(t, time.Duration(100+rng.IntN(2200))*time.Millisecond)
		require.NoError(t, cmd.Process.Kill())
		require.ErrorContains(t, cmd.Wait(), "killed")
	}
	cmd := k.watch(t)
	wait(t, 1500*time.Millisecond)
	wanted := killed{checkpoints: 4, segments: n/4 + 1}
	// On a busy computer many of the lives end before they keep anything: the last one goes on
	// until there is something to compare.
	for tries := 0; tries < 1200 && !k.kept(t).atLeast(wanted); tries++ {
		wait(t, 100*time.Millisecond)
	}
	stop()
	marking.Wait()
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	_ = cmd.Wait()
	require.Equal(t, 130, cmd.ProcessState.ExitCode())

	events, checkpoints := requireSameEverywhere(t, k.folder)
	got := k.kept(t)
	t.Logf("%d kills: %d events, %d checkpoints, %d segments, %d marks answered as recorded of %d", n, events, checkpoints, got.segments, len(m.answered), m.n)
	assert.Greater(t, events, 3*n)
	assert.Equal(t, got.checkpoints, checkpoints)
	assert.True(t, got.atLeast(wanted), "%+v", got)
	replay, _ := exec.CommandContext(t.Context(), k.binary, "replay", k.folder).Output()
	journal, err := os.ReadFile(session.Folder(k.folder).Path(session.TimelineFile))
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(string(replay), string(journal)), "the timeline comes before the claims")
	require.Greater(t, len(m.answered), n)
	for _, text := range m.answered {
		require.Contains(t, string(journal), fmt.Sprintf(`"data":{"text":%q}`, text), "it was answered as recorded")
	}
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
