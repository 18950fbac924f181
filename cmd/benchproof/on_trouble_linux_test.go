package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

func troubleOf(kind, about string) session.Shown {
	e := session.Shown{Event: event.Event{Kind: kind, About: about}}
	switch kind {
	case event.GoalReached, event.GoalMissed:
		e.Event.Data = event.GoalData{Tap: "main"}
	case event.VerdictChanged:
		e.Event.Data = event.VerdictData{Verdict: event.VerdictWrong}
	}
	return e
}

// One run at a time, one a minute: the first trouble at once, the first of those that came
// meanwhile after the minute, with the number of the others. Showing never waits.
func TestTheCommandRunsOnceAMinute(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var got []news
		var at []time.Duration
		var told []string
		began, fails := time.Now(), false
		c := newOnTrouble(nil, func(err error) { told = append(told, err.Error()) })
		c.call = func(ctx context.Context, n news) error {
			got, at = append(got, n), append(at, time.Since(began))
			select {
			case <-ctx.Done():
			case <-time.After(10 * time.Second):
			}
			if fails {
				return errors.New("exit status 3")
			}
			return nil
		}
		ctx, stop := context.WithCancel(t.Context())
		var running sync.WaitGroup
		running.Go(func() { c.run(ctx) })
		later := func(d time.Duration) { time.Sleep(d); synctest.Wait() }

		c.shown(troubleOf(event.LinkLost, "tap:main"))
		later(time.Second)
		for _, kind := range []string{event.GoalReached, event.LinkLost, event.VerdictChanged, event.AirMissed, event.LinkRestored} {
			c.shown(troubleOf(kind, "tap:main"))
		}
		later(5 * time.Minute)
		require.Len(t, got, 2)
		assert.Equal(t, []time.Duration{0, time.Minute}, at)
		assert.Equal(t, event.LinkLost, got[0].kind)
		assert.Equal(t, event.GoalReached, got[1].kind)
		assert.Equal(t, 2, got[1].others, "a few missed frames and a link that is back are no trouble")

		c.shown(troubleOf(event.DrillBegan, "drill:failsafe"))
		c.shown(troubleOf(event.LinkLost, "tap:main"))
		later(5 * time.Minute)
		assert.Len(t, got, 2, "a drill makes its troubles itself")

		c.shown(troubleOf(event.DrillEnded, "drill:failsafe"))
		fails = true
		for range 3 {
			c.shown(troubleOf(event.TapDown, "tap:main"))
			later(5 * time.Minute)
		}
		require.Len(t, told, 1, "a failure is said once")
		assert.Contains(t, told[0], "exit status 3")

		c.shown(troubleOf(event.TapDown, "tap:main"))
		later(time.Second)
		stop() // in the midst of a run
		running.Wait()
		assert.Len(t, told, 1)
	})
}

// written is a file with a mode, in a folder of its own.
func written(t *testing.T, name, text string, mode os.FileMode) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(text), mode))
	return path
}

func TestACommandThatHangsIsKilled(t *testing.T) {
	err := callFor(t.Context(), []string{"sleep"}, news{sentence: "1"}, 50*time.Millisecond)
	assert.Error(t, err, "our words are no time for sleep")
	began := time.Now()
	hangs := written(t, "hangs", "#!/bin/sh\nsleep 600\n", 0o755)
	err = callFor(t.Context(), []string{hangs}, news{sentence: "x"}, 100*time.Millisecond)
	assert.ErrorContains(t, err, "did not end within 100ms")
	assert.Less(t, time.Since(began), time.Minute)
	assert.ErrorContains(t, callFor(t.Context(), []string{filepath.Join(t.TempDir(), "gone")}, news{}, time.Second), "no such file")
	assert.ErrorContains(t, callFor(t.Context(), []string{"false"}, news{}, time.Minute), "exit status 1")
}

// The built program runs the command that its settings file names when the signal goes, with
// its arguments as they are, and what the sentence has behind them in one; a run is killed
// with all that it started when the session ends.
func TestTheCommandOfTheUserIsRun(t *testing.T) {
	scripted, err := script.Parse("loss", []byte(simtest.Model+"receiver main preset after 300ms\n"+simtest.Presets+"0s signal on\n2s signal off\n90s end\n"))
	require.NoError(t, err)
	ports, err := world.OpenPTYs(1)
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	var bench sync.WaitGroup
	bench.Go(func() { _ = world.Play(ctx, world.New(&scripted.Plan, 1), ports.Ends(), world.RealTime{}) })
	t.Cleanup(func() { stop(); bench.Wait(); assert.NoError(t, ports.Close()) })

	dir := t.TempDir()
	command := written(t, "command", "#!/bin/sh\nsleep 600 &\n"+
		"{ printf '%s\\n' \"$#\" \"$@\" \"$BENCHPROOF_EVENT\" \"$BENCHPROOF_SENTENCE\" \"$BENCHPROOF_OTHERS\" $! "+
		"; ls -l /proc/self/fd; } > out.new\nmv out.new out\nwait\n", 0o755)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "sheet.yaml"), sheet.Starter(), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "benchproof.yaml"), []byte("on-trouble: ["+command+", \"$HOME; two words\", --flag]\n"), 0o600))
	p := startProcess(t, dir, nil, "watch", "--sheet", "sheet.yaml", "--bus", ports.Paths()[0], "--session", "s")
	var out []byte
	if !assert.Eventually(t, func() bool { out, err = os.ReadFile(filepath.Join(dir, "out")); return err == nil }, 20*time.Second, 10*time.Millisecond) {
		require.FailNow(t, "it is not run", p.talk.String())
	}
	lines := strings.Split(string(out), "\n")
	require.Greater(t, len(lines), 7)
	assert.Equal(t, []string{"3", "$HOME; two words", "--flag", "benchproof: " + lines[5]}, lines[:4])
	assert.Equal(t, event.FailsafeEntered, lines[4])
	assert.Contains(t, lines[5], "main: LINK LOST")
	assert.Equal(t, "0", lines[6])
	assert.NotContains(t, string(out), ports.Paths()[0], "it does not get the port")

	child, err := strconv.Atoi(lines[7])
	require.NoError(t, err)
	require.NoError(t, syscall.Kill(child, 0), "it runs")
	require.NoError(t, p.Process.Signal(syscall.SIGTERM))
	assert.Equal(t, exitInterrupted, p.exit(t), p.talk.String())
	require.Eventually(t, func() bool { return !runs(child) }, 20*time.Second, 10*time.Millisecond, "killed with the session")
	assert.NotContains(t, p.talk.String(), "on-trouble")
}

// runs reports whether a process is there and no zombie.
func runs(pid int) bool {
	text, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/stat")
	_, rest, _ := strings.Cut(string(text), ") ")
	return err == nil && !strings.HasPrefix(rest, "Z")
}

func TestACommandThatIsNotThereIsSaidAtOnce(t *testing.T) {
	path := written(t, "sheet.yaml", string(sheet.Starter()), 0o600)
	code, _, talk := call(t, "watch", "--sheet", path, "--bus", "none", "--on-trouble", "no-such-program", "--on-trouble", "a, b", "--session", t.TempDir())
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, `got on-trouble ["no-such-program" "a, b"]`)
}
