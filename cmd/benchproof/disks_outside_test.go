//go:build outside && linux

package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/api/client"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// diskRig is the built program on a disk of its own, with a simulated bench at its port.
type diskRig struct {
	disk    string // where it is mounted
	folder  session.Folder
	bench   string   // script of what comes in
	segment string   // how long a part of the recording is
	trace   string   // where strace writes what the program does; "": it is not looked at
	more    []string // arguments
	far     *wire    // at the port, for what happens to it; nil: nothing does
	ports   *world.PTYs
	leave   func() // ends the simulated bench
	cmd     *exec.Cmd
	talk    lockedBuffer // what the program says on stderr

	marks    int
	recorded []string // texts of marks that were answered as recorded
}

// onDisk mounts a disk and starts the program in a folder of it. Mounting wants root.
func onDisk(t *testing.T, mount ...string) *diskRig {
	r := &diskRig{bench: strings.Replace(quietBench, "60s end", "10m end", 1), segment: "2s"}
	var err error
	r.disk, err = os.MkdirTemp("", "disk") // short: a socket lies in it
	require.NoError(t, err)
	shell(t, "mount", append(mount, r.disk)...)
	t.Cleanup(func() {
		shell(t, "umount", r.disk)
		assert.NoError(t, os.Remove(r.disk))
	})
	r.folder = session.Folder(filepath.Join(r.disk, "s"))
	r.start(t)
	return r
}

func shell(t *testing.T, name string, args ...string) {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	require.NoError(t, err, "%s %s: %s", name, strings.Join(args, " "), out)
}

func (r *diskRig) start(t *testing.T) {
	scripted, err := script.Parse("bench", []byte(r.bench))
	require.NoError(t, err)
	r.ports, err = world.OpenPTYs(1)
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	var bench sync.WaitGroup
	ends := r.ports.Ends()
	if r.far != nil {
		r.far.end, ends[0] = ends[0], r.far
	}
	bench.Go(func() { _ = world.Play(ctx, world.New(&scripted.Plan, 1), ends, world.RealTime{}) })
	r.leave = func() { stop(); bench.Wait() }
	t.Cleanup(func() {
		r.leave()
		assert.NoError(t, r.ports.Close())
	})
	sheetFile := filepath.Join(t.TempDir(), "sheet.yaml")
	require.NoError(t, os.WriteFile(sheetFile, sheet.Starter(), 0o600))
	r.cmd = asItself("watch", "--sheet", sheetFile, "--bus", r.ports.Paths()[0], "--session", string(r.folder), "--checkpoint-beats", "1", "--segment", r.segment)
	r.cmd.Args = append(r.cmd.Args, r.more...)
	if r.trace != "" {
		r.cmd = traced(r.trace, r.cmd)
	}
	r.cmd.Stderr = &r.talk
	require.NoError(t, r.cmd.Start())
	t.Cleanup(func() {
		if r.cmd.ProcessState == nil {
			_ = r.cmd.Process.Kill()
			_ = r.cmd.Wait()
		}
	})
}

// asItself is this test's own file as the program.
func asItself(args ...string) *exec.Cmd {
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), asProgram+"=1")
	return cmd
}

// mark puts a mark in and says how it was answered; -1: nobody did.
func (r *diskRig) mark() (recorded int) {
	c, err := client.Dial(string(r.folder))
	if err != nil {
		return -1
	}
	defer c.Close()
	r.marks++
	text := fmt.Sprintf("mark %d", r.marks)
	a, err := c.Mark(context.Background(), text)
	switch {
	case err != nil:
		return -1
	case !a.Recorded:
		return 0
	}
	r.recorded = append(r.recorded, text)
	return 1
}

// until puts marks in until one is answered so.
func (r *diskRig) until(t *testing.T, recorded int) {
	t.Helper()
	end := time.Now().Add(20 * time.Second)
	for r.mark() != recorded {
		require.True(t, time.Now().Before(end), "no mark was answered with %d: %s", recorded, r.talk.String())
	}
}

// end ends the program and holds the timeline to the marks and, where whole, to a replay.
func (r *diskRig) end(t *testing.T) {
	t.Helper()
	began := time.Now()
	require.NoError(t, r.cmd.Process.Signal(os.Interrupt))
	_ = r.cmd.Wait()
	assert.Less(t, time.Since(began), 6*time.Second)
}

// requireMarks holds the timeline to the marks that were answered as recorded, and so a
// replay.
func (r *diskRig) requireMarks(t *testing.T) {
	t.Helper()
	journal, err := os.ReadFile(r.folder.Path(session.TimelineFile))
	require.NoError(t, err)
	replay, _ := asItself("replay", string(r.folder)).Output()
	require.NotEmpty(t, r.recorded)
	for _, text := range r.recorded {
		require.Contains(t, string(journal), fmt.Sprintf(`"data":{"text":%q}`, text))
		require.Contains(t, string(replay), fmt.Sprintf(`"data":{"text":%q}`, text))
	}
}

// account is that of the whole session, which its record and the command soak must agree on. Nothing was
// ever wrong at the bench: so no frame is lacking in what the recording has, and no outage is in it.
func (r *diskRig) account(t *testing.T) *state.Account {
	t.Helper()
	var rec record.Record
	text, err := os.ReadFile(r.folder.Path(record.RecordFile))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &rec))
	said, err := asItself("soak", "--json", string(r.folder)).Output()
	require.NoError(t, err)
	var a state.Account
	require.NoError(t, json.Unmarshal(said, &a))
	require.Equal(t, rec.Account, &a)
	tap := &a.Taps[0]
	assert.Equal(t, a.UntilNS.Sub(a.SinceNS), a.StalledNS+a.UnrecordedNS+tap.LiveNS+tap.OutageNS+tap.WaitingNS+tap.UnpluggedNS, "the times add up")
	assert.Positive(t, tap.Frames)
	assert.Zero(t, tap.Missed+tap.DamageRuns+tap.Spikes+tap.Failsafes+tap.Unplugs+tap.Outages+tap.Occasions, "%+v", *tap)
	assert.Equal(t, unit.Time(-1), tap.GoneSinceNS)
	return &a
}

func (r *diskRig) fill(t *testing.T) {
	t.Helper()
	f, err := os.Create(filepath.Join(r.disk, "filler"))
	require.NoError(t, err)
	for _, size := range []int{64 << 10, 1 << 10, 1} {
		for err = nil; err == nil; {
			_, err = f.Write(make([]byte, size))
		}
	}
	require.ErrorIs(t, err, syscall.ENOSPC)
	require.NoError(t, f.Close())
}

// A disk that fills up and is given room again: said, watched on, and nothing is lost that
// was answered as recorded.
func TestASmallDiskThatFillsUp(t *testing.T) {
	r := onDisk(t, "-t", "tmpfs", "-o", "size=3m", "none")
	r.until(t, 1)
	r.fill(t)
	r.until(t, 0)
	assert.Contains(t, r.talk.String(), "recording has stopped, watching goes on; it is tried again each second")
	assert.Contains(t, r.talk.String(), "no space left on device")
	for range 3 {
		require.NotEqual(t, -1, r.mark(), "it goes on answering")
	}
	require.NoError(t, os.Remove(filepath.Join(r.disk, "filler")))
	r.until(t, 1)
	r.end(t)
	require.Equal(t, 130, r.cmd.ProcessState.ExitCode(), r.talk.String())
	r.requireMarks(t)
	gaps := ofKind(t, r.folder, event.RecordingGap)
	require.Len(t, gaps, 2)
	a := r.account(t)
	assert.InDelta(t, int64(gaps[1].At-gaps[0].At), int64(a.UnrecordedNS), float64(2*unit.Second), "what the recording lacks is no time that was watched")
}

// A disk that turns read-only by itself, as one with errors does: the program says so,
// watches on, and ends; what was answered as recorded is there.
func TestADiskThatTurnsReadOnly(t *testing.T) {
	image := filepath.Join(t.TempDir(), "image")
	require.NoError(t, os.WriteFile(image, make([]byte, 16<<20), 0o600))
	shell(t, "mkfs.ext4", "-q", image)
	r := onDisk(t, "-o", "loop,errors=remount-ro", image)
	r.until(t, 1)
	out, err := exec.Command("findmnt", "-n", "-o", "SOURCE", r.disk).Output()
	require.NoError(t, err)
	trigger := filepath.Join("/sys/fs/ext4", filepath.Base(strings.TrimSpace(string(out))), "trigger_fs_error")
	require.NoError(t, os.WriteFile(trigger, []byte("a test"), 0o600))
	r.until(t, 0)
	assert.Contains(t, r.talk.String(), "watching goes on")
	assert.Contains(t, r.talk.String(), "read-only file system")
	require.NotEqual(t, -1, r.mark(), "it goes on answering")
	r.end(t)
	assert.Equal(t, exitDevice, r.cmd.ProcessState.ExitCode(), r.talk.String())
	assert.Contains(t, r.talk.String(), "the end of this session could not be recorded")
	r.requireMarks(t)

	again := asItself("watch", "--sheet", r.folder.Path(session.SheetFile), "--bus", "/dev/null", "--session", string(r.folder))
	said, err := again.CombinedOutput()
	require.Error(t, err)
	assert.Equal(t, exitDevice, again.ProcessState.ExitCode(), string(said))
	assert.Contains(t, string(said), "read-only file system")
}

// A program that stands still for longer than a disk may take.
func TestAProgramThatStandsStillForLong(t *testing.T) {
	still := 5 * time.Second
	if os.Getenv("BENCHPROOF_SOAK") != "" {
		still = time.Minute
	}
	r := onDisk(t, "-t", "tmpfs", "-o", "size=64m", "none")
	r.until(t, 1)
	require.NoError(t, r.cmd.Process.Signal(syscall.SIGSTOP))
	time.AfterFunc(still, func() { _ = r.cmd.Process.Signal(syscall.SIGCONT) })
	pause(t.Context(), still-5*time.Second) // a mark waits for some seconds
	r.until(t, 1)
	for range 3 {
		r.until(t, 1)
	}
	r.end(t)
	require.Equal(t, 130, r.cmd.ProcessState.ExitCode(), r.talk.String())
	r.requireMarks(t)
	assert.NotContains(t, r.talk.String(), "recording has stopped")
	a := r.account(t)
	assert.GreaterOrEqual(t, a.StalledNS, unit.Duration(still)-3*unit.Second, "nobody watched then")
	assert.LessOrEqual(t, a.StalledNS, unit.Duration(still)+3*unit.Second)
}
