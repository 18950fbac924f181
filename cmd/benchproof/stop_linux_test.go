package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	sessionsocket "benchproof.example/monitor/api/socket"
	"benchproof.example/monitor/api/socket/sockettest"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
)

// process is this program as a process of its own.
type process struct {
	*exec.Cmd
	talk  bytes.Buffer
	ended chan struct{}
}

// startProcess starts it with signals heeded. setUp may be nil.
func startProcess(t *testing.T, dir string, setUp func(*exec.Cmd), args ...string) *process {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	p := &process{Cmd: exec.CommandContext(t.Context(), self, args...), ended: make(chan struct{})}
	p.Dir, p.Stderr, p.Env = dir, &p.talk, append(os.Environ(), asProgram+"=1")
	if setUp != nil {
		setUp(p.Cmd)
	}
	require.NoError(t, p.Start())
	go func() { _ = p.Wait(); close(p.ended) }()
	t.Cleanup(func() { _ = p.Process.Kill(); <-p.ended })
	require.Eventually(t, func() bool { return ignores(p.Process.Pid, syscall.SIGPIPE) }, 30*time.Second, 5*time.Millisecond)
	return p
}

// ignores reports whether a process has a signal ignored, which is the last that this
// program does with signals before it works.
func ignores(pid int, sig syscall.Signal) bool {
	text, _ := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	_, mask, _ := strings.Cut(string(text), "SigIgn:")
	mask, _, _ = strings.Cut(mask, "\n")
	bits, _ := strconv.ParseUint(strings.TrimSpace(mask), 16, 64)
	return bits&(1<<(sig-1)) != 0
}

// untilBusy returns when it is in the midst of its work: it computed for a while, or does
// nothing any more but wait.
func (p *process) untilBusy(t *testing.T) {
	t.Helper()
	const whole, checks = 15, 10 // hundredths of a second of computing; checks without any, while it waits for none
	was, same := int64(-1), 0
	require.Eventually(t, func() bool {
		now := ticks(p.Process.Pid)
		if same++; now != was || !rests(p.Process.Pid) {
			was, same = now, 0
		}
		return now >= whole || same >= checks
	}, 60*time.Second, 10*time.Millisecond)
}

// ticks are the hundredths of a second that a process computed (proc_pid_stat(5)).
func ticks(pid int) (sum int64) {
	text, _ := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	_, rest, _ := strings.Cut(string(text), ") ")
	fields := strings.Fields(rest)
	for _, at := range []int{11, 12} { // utime, stime
		if at < len(fields) {
			n, _ := strconv.ParseInt(fields[at], 10, 64)
			sum += n
		}
	}
	return sum
}

// rests reports that no thread of a process computes, or waits until a processor or a disk has time for it.
func rests(pid int) bool {
	threads, _ := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/stat", pid))
	for _, name := range threads {
		text, _ := os.ReadFile(name)
		if _, rest, _ := strings.Cut(string(text), ") "); !strings.HasPrefix(rest, "S") {
			return false
		}
	}
	return true
}

// exit waits for its end.
func (p *process) exit(t *testing.T) (code int) {
	t.Helper()
	select {
	case <-p.ended:
	case <-time.After(20 * time.Second):
		require.Fail(t, "it does not end", "%v: %s", p.Args[1:], p.talk.String())
	}
	return p.ProcessState.ExitCode()
}

// fullPipe is a pipe that takes nothing more and is not read.
func fullPipe(t *testing.T) *os.File {
	t.Helper()
	var fds [2]int
	require.NoError(t, unix.Pipe2(fds[:], unix.O_CLOEXEC))
	r, w := os.NewFile(uintptr(fds[0]), "r"), os.NewFile(uintptr(fds[1]), "w")
	t.Cleanup(func() { _, _ = r.Close(), w.Close() })
	size, err := unix.FcntlInt(w.Fd(), unix.F_GETPIPE_SZ, 0)
	require.NoError(t, err)
	_, err = w.Write(make([]byte, size))
	require.NoError(t, err)
	return w
}

// frames are raw bus bytes, whose lines fill any pipe.
func writeFrames(t *testing.T, path string) {
	t.Helper()
	var frame bus.Frame
	var raw [servobus.FrameLen]byte
	servobus.Encode(&frame, raw[:])
	require.NoError(t, os.WriteFile(path, bytes.Repeat(raw[:], 40_000), 0o600))
}

// grow makes a file very long, with bytes that take no room on a disk.
func grow(t *testing.T, path string) {
	t.Helper()
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	require.NoError(t, err)
	require.NoError(t, f.Truncate(1<<40))
	require.NoError(t, f.Close())
}

// busy are commands that do not end by themselves for a long time, or wait for somebody.
func busyCommands(t *testing.T) (dir string, commands [][]string) {
	dir = t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	writeFrames(t, in("frames"))
	grow(t, in("zeros"))
	require.NoError(t, os.WriteFile(in("sheet.yaml"), sheet.Starter(), 0o600))
	require.NoError(t, os.CopyFS(in("hurt"), os.DirFS("../../testdata/corpus/reedwing-resumed")))
	grow(t, in("hurt/recording.pcapng"))
	return dir, [][]string{
		{"decode", "frames"}, {"decode", "zeros"}, {"decode", "-"}, {"decode", "hurt"}, {"decode", "hurt/recording.pcapng"},
		{"replay", "frames", "--sheet", "sheet.yaml"}, {"replay", "zeros", "--sheet", "sheet.yaml"}, {"replay", "hurt"},
		{"replay", "frames", "--sheet", "sheet.yaml", "--speed", "1"},
		{"report", "hurt"}, {"compare", "hurt", "hurt"},
		{"sheet", "new"}, {"sheet", "verify", "sheet.yaml"}, {"sheet", "explain", "model"},
		{"guide"}, {"guide", "failsafe"}, {"ports"}, {"completion", "bash"}, {"--help"},
		{"simulate"}, {"demo"}, {"watch", "--sheet", "sheet.yaml", "--bus", "none"},
	}
}

// endsWithin is what is promised. On a busy machine a command is late for other reasons too:
// it has to keep the promise once in some tries.
const (
	endsWithin = 2 * time.Second
	stops      = 3
)

// keepsPromise reports whether a command ended in time, once in some tries.
func keepsPromise(took func() time.Duration) bool {
	for range stops {
		if took() < endsWithin {
			return true
		}
	}
	return false
}

// Every command ends in time by a signal: while it reads, judges or prints to a pipe that
// nobody reads, and while it waits for input.
func TestEveryCommandStopsInTime(t *testing.T) {
	dir, commands := busyCommands(t)
	for _, args := range commands {
		for _, sig := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP} {
			t.Run(strings.Join(args, " ")+" "+sig.String(), func(t *testing.T) {
				t.Parallel()
				assert.True(t, keepsPromise(func() time.Duration {
					p := startProcess(t, dir, func(cmd *exec.Cmd) {
						cmd.Stdout = fullPipe(t)
						if args[0] == "watch" {
							cmd.Args = append(cmd.Args, "--session", t.TempDir())
						}
						_, err := cmd.StdinPipe()
						require.NoError(t, err)
					}, args...)
					p.untilBusy(t)
					told := time.Now()
					require.NoError(t, p.Process.Signal(sig))
					assert.Equal(t, exitInterrupted, p.exit(t), p.talk.String())
					return time.Since(told)
				}), "it ended late each time")
			})
		}
	}
}

// Who asks a daemon that does not answer is stopped in time too.
func TestWhoAsksADaemonStopsInTime(t *testing.T) {
	for _, args := range [][]string{{"mark", "here"}, {"reopen", "failsafe"}, {"drill", "failsafe"}} {
		t.Run(args[0], func(t *testing.T) {
			folder := sockettest.Folder(t)
			require.NoError(t, os.WriteFile(filepath.Join(folder, "sheet.yaml"), sheet.Starter(), 0o600))
			at, err := sessionsocket.Listen(folder)
			require.NoError(t, err)
			reached := make(chan net.Conn, 8)
			go func() {
				for {
					conn, err := at.Accept()
					if err != nil {
						return
					}
					reached <- conn
				}
			}()
			defer func() { assert.NoError(t, at.Close()) }()
			assert.True(t, keepsPromise(func() time.Duration {
				p := startProcess(t, t.TempDir(), nil, append(args, "--session", folder)...)
				conn := <-reached
				defer func() { _ = conn.Close() }()
				told := time.Now()
				require.NoError(t, p.Process.Signal(syscall.SIGINT))
				assert.Equal(t, exitInterrupted, p.exit(t), p.talk.String())
				return time.Since(told)
			}), "it ended late each time")
		})
	}
}

// The second signal ends a command at once, whatever it waits for.
func TestTheSecondSignalEndsAtOnce(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "sheet.yaml"), sheet.Starter(), 0o600))
	unread := func(cmd *exec.Cmd) { cmd.Stdout = fullPipe(t); cmd.Stderr = cmd.Stdout }
	p := startProcess(t, dir, unread, "watch", "--sheet", "sheet.yaml", "--bus", "none", "--session", "s")
	p.untilBusy(t)
	told := time.Now()
	again := time.NewTicker(oneStop / 2)
	defer again.Stop()
	for running := true; running; {
		_ = p.Process.Signal(syscall.SIGINT)
		select {
		case <-p.ended:
			running = false
		case <-again.C:
		}
		require.Less(t, time.Since(told), 20*time.Second)
	}
	assert.Equal(t, exitInterrupted, p.exit(t))
	assert.NoFileExists(t, filepath.Join(dir, "s", "record.json"), "it did not come so far as it does with one signal")
}

// headOf has a command's reader take one line and go.
func headOf(t *testing.T, dir string, args ...string) *process {
	t.Helper()
	r, w, err := os.Pipe()
	require.NoError(t, err)
	_, err = unix.FcntlInt(w.Fd(), unix.F_SETPIPE_SZ, 4096) // or little output might fit
	require.NoError(t, err)
	p := startProcess(t, dir, func(cmd *exec.Cmd) { cmd.Stdout = w }, args...)
	require.NoError(t, w.Close())
	_, err = bufio.NewReaderSize(r, 16).ReadString('\n')
	require.NoError(t, err)
	require.NoError(t, r.Close())
	return p
}

// What only prints ends when its reader is gone, without a word.
func TestWhatOnlyPrintsEndsWithItsReader(t *testing.T) {
	dir := t.TempDir()
	writeFrames(t, filepath.Join(dir, "frames"))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "sheet.yaml"), sheet.Starter(), 0o600))
	for _, args := range [][]string{{"decode", "frames"}, {"replay", "frames", "--sheet", "sheet.yaml"}} {
		p := headOf(t, dir, args...)
		assert.Equal(t, exitNoReader, p.exit(t), "%v", args)
		assert.NotContains(t, p.talk.String(), "gone", "%v", args)
	}
}

// A session whose reader is gone goes on to its end.
func TestASessionGoesOnWithoutItsReader(t *testing.T) {
	dir := t.TempDir()
	p := headOf(t, dir, "demo", "--for", "4s", "--session", "s")
	assert.Equal(t, exitDone, p.exit(t), p.talk.String())
	list := ofKind(t, session.Folder(filepath.Join(dir, "s")), "")
	require.NotEmpty(t, list)
	assert.Greater(t, int64(list[len(list)-1].At), int64(3*time.Second), "it heard to the end")
	assert.NotEmpty(t, ofKind(t, session.Folder(filepath.Join(dir, "s")), event.SessionEnded))
}

// A terminal that closes ends a session, unless it was to outlive it.
func TestAClosedTerminal(t *testing.T) {
	notify, path := manager(t)
	var managed sync.WaitGroup
	managed.Go(func() { _, _ = io.Copy(io.Discard, notify) })
	for name, c := range map[string]struct {
		shell, env string
		more       []string
		ends       bool
	}{
		"usual":    {"", "", nil, true},
		"nohup":    {`trap "" HUP; exec "$0" "$@"`, "", nil, false},
		"service":  {"", "NOTIFY_SOCKET=" + path, nil, false},
		"long run": {"", "", []string{"--until", "12h quiet", "--keep-awake=false"}, false},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(dir, "sheet.yaml"), sheet.Starter(), 0o600))
			p := startProcess(t, dir, func(cmd *exec.Cmd) {
				cmd.Env = append(cmd.Env, c.env)
				if c.shell != "" {
					cmd.Args = append([]string{"sh", "-c", c.shell}, cmd.Args...)
					cmd.Path = "/bin/sh"
				}
			}, append([]string{"watch", "--sheet", "sheet.yaml", "--bus", "none", "--session", "s"}, c.more...)...)
			folder := session.Folder(filepath.Join(dir, "s"))
			require.Eventually(t, func() bool { return size(folder) > 0 }, 20*time.Second, 5*time.Millisecond)
			assert.Equal(t, c.shell+c.env != "", ignores(p.Process.Pid, syscall.SIGHUP))
			require.NoError(t, p.Process.Signal(syscall.SIGHUP))
			if !c.ends {
				was := size(folder)
				require.Eventually(t, func() bool { return size(folder) > was }, 20*time.Second, 5*time.Millisecond, "it goes on")
				require.NoError(t, p.Process.Signal(syscall.SIGTERM))
			}
			assert.Equal(t, exitInterrupted, p.exit(t), p.talk.String())
			assert.NotEmpty(t, ofKind(t, folder, event.SessionEnded))
		})
	}
	require.NoError(t, notify.SetReadDeadline(time.Now()))
	managed.Wait()
}

// An input that waits for what does not come ends with its context.
func TestAWaitForInputEndsWithItsContext(t *testing.T) {
	r, w, err := os.Pipe()
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	in := newInterruptible(ctx, r)
	_, err = w.WriteString("abc")
	require.NoError(t, err)
	text := make([]byte, 2)
	n, err := in.Read(text)
	require.NoError(t, err)
	assert.Equal(t, "ab", string(text[:n]))
	time.AfterFunc(time.Millisecond, stop)
	rest, err := io.ReadAll(in)
	require.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, "c", string(rest))
	_, err = in.Read(text)
	require.ErrorIs(t, err, context.Canceled)
	require.NoError(t, w.Close()) // ends the wait
	require.NoError(t, r.Close())
}
