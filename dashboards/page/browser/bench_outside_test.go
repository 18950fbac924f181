//go:build outside && linux

package browser_test

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// built is the program under test, built once.
var built = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "built-")
	if err != nil {
		return "", err
	}
	program := filepath.Join(dir, "benchproof")
	out, err := exec.Command("go", "build", "-o", program, "benchproof.example/cmd/benchproof").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return program, nil
})

// saying is what a program says, while it says it.
type saying struct {
	mu      sync.Mutex
	text    strings.Builder
	address chan string // where it serves, once
}

var shownAt = regexp.MustCompile(`https?://(127\.0\.0\.1:\d+)`)

func newSaying() *saying { return &saying{address: make(chan string, 1)} }

func (s *saying) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	n, err := s.text.Write(p)
	if found := shownAt.FindStringSubmatch(s.text.String()); found != nil && len(s.address) == 0 {
		s.address <- found[1]
	}
	return n, err
}

func (s *saying) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

// bench is a simulated bench whose hands do what is typed, as benchproof simulate --by-hand plays it.
type bench struct {
	folder string // short, with room for sockets
	cmd    *exec.Cmd
	typed  io.WriteCloser
	said   *saying
	sheet  string
	ports  []string // flags that name them
}

// newFolder is one for a bench and the sessions of what watches it: in memory where the system has that, since
// several programs write at once here, and a disk that makes one of them wait is no part of any flow.
func newFolder() (string, error) {
	if folder, err := os.MkdirTemp("/dev/shm", "bp"); err == nil {
		return folder, nil
	}
	return os.MkdirTemp("", "bp")
}

// newBench begins to play the bench of a script, with further settings.
func newBench(script, more string) (*bench, error) {
	program, err := built()
	if err != nil {
		return nil, err
	}
	b := &bench{said: newSaying()}
	if b.folder, err = newFolder(); err != nil {
		return nil, err
	}
	text, err := os.ReadFile("../../../monitor/sim/script/scripts/" + script + ".script")
	if err != nil {
		return nil, err
	}
	file := filepath.Join(b.folder, script+".script")
	changed := strings.Replace(string(text), "\n0s ", "\n"+more+"\n0s ", 1)
	if err := os.WriteFile(file, []byte(changed), 0o600); err != nil {
		return nil, err
	}
	b.sheet = filepath.Join(b.folder, "sheet.yaml")
	b.cmd = exec.Command(program, "simulate", "--by-hand", "--script", file, "--sheet", b.sheet)
	b.cmd.Dir, b.cmd.Stderr = b.folder, b.said
	if b.typed, err = b.cmd.StdinPipe(); err != nil {
		return nil, err
	}
	printed, err := b.cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := b.cmd.Start(); err != nil {
		return nil, err
	}
	late := time.AfterFunc(soon, func() { _ = b.cmd.Process.Kill() }) // ends the reading
	defer late.Stop()
	line, err := bufio.NewReader(printed).ReadString('\n')
	_, ports, found := strings.Cut(line, b.sheet)
	if err != nil || !found {
		return nil, errors.Join(err, fmt.Errorf("got %q, want a command that listens; %s", line, b.said.String()))
	}
	b.ports = strings.Fields(ports)
	return b, nil
}

// do has the hands do something: a move, or a step of a script without its time.
func (b *bench) do(t testing.TB, lines ...string) {
	t.Helper()
	for _, line := range lines {
		_, err := io.WriteString(b.typed, line+"\n")
		require.NoError(t, err, b.said.String())
	}
}

func (b *bench) stop() {
	_ = b.cmd.Process.Kill()
	_ = b.cmd.Wait()
	_ = os.RemoveAll(b.folder)
}

// token is what changing needs.
const token = "kettle-drum-and-reed-42"

// daemon is the built program that watches a bench.
type daemon struct {
	bench   *bench
	cmd     *exec.Cmd
	said    *saying
	session string // its folder
	address string // HOST:PORT
	flags   []string
}

// watch starts the program on a session of the bench, and returns once its pages are served.
func (b *bench) watch(session string, flags ...string) (*daemon, error) {
	file := filepath.Join(b.folder, "token")
	if err := os.WriteFile(file, []byte(token+"\n"), 0o600); err != nil {
		return nil, err
	}
	d := &daemon{bench: b, session: filepath.Join(b.folder, "sessions", session), address: "127.0.0.1:0", flags: append(flags, "--token-file", file)}
	return d, d.start()
}

// start begins to watch, or goes on with the session, at the address where it was.
func (d *daemon) start() error {
	program, err := built()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(d.session), 0o755); err != nil {
		return err
	}
	args := append(append([]string{"watch", "--session", d.session, "--listen", d.address}, d.flags...), d.bench.ports...)
	d.cmd, d.said = exec.Command(program, args...), newSaying()
	d.cmd.Dir, d.cmd.Stderr = d.bench.folder, d.said
	if err := d.cmd.Start(); err != nil {
		return err
	}
	select {
	case d.address = <-d.said.address:
		return nil
	case <-time.After(20 * time.Second):
		return fmt.Errorf("it serves nothing: %s", d.said.String())
	}
}

func (d *daemon) url(path string) string { return "http://" + d.address + path }

// client asks the programs under test. One that stands still holds no flow up.
var client = &http.Client{Timeout: soon}

// get is what the program answers.
func (d *daemon) get(t testing.TB, path string) []byte {
	t.Helper()
	got, err := client.Get(d.url(path))
	require.NoError(t, err)
	defer func() { _ = got.Body.Close() }()
	text, err := io.ReadAll(got.Body)
	require.NoError(t, err)
	require.Equal(t, http.StatusOK, got.StatusCode, "%s: %s", path, text)
	return text
}

// end ends it with a signal, and waits until it is gone: one that stands still goes on before that, and
// one that does not end is killed.
func (d *daemon) end(how os.Signal) {
	_ = d.cmd.Process.Signal(how)
	_ = d.cmd.Process.Signal(syscall.SIGCONT)
	late := time.AfterFunc(soon, func() { _ = d.cmd.Process.Kill() })
	defer late.Stop()
	_ = d.cmd.Wait()
}
