//go:build outside && linux

package main

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	_ "embed" // systemd.sh
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
)

const serviceOfTests = "benchproof@small.service"

//go:embed testdata/systemd.sh
var startSystemd string

// systemd is one that runs for a test, as process 1 of a small world of its own.
type systemd struct {
	t      *testing.T
	folder string // that world sees it as /run/bench
	one    string // its process number here
	said   lockedBuffer
}

// newSystemd starts one with our unit, which listens to a port, with more settings and more
// files in its folder. That wants root.
func newSystemd(t *testing.T, port, settings string, more map[string]string) *systemd {
	t.Helper()
	folder, err := filepath.EvalSymlinks(t.TempDir())
	require.NoError(t, err)
	self, err := os.ReadFile(os.Args[0])
	require.NoError(t, err)
	unit, err := os.ReadFile(serviceUnit(t, "/etc/benchproof/%i.yaml", "/run/bench/bench.yaml"))
	require.NoError(t, err)
	write := func(name, text string, mode os.FileMode) {
		path := filepath.Join(folder, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), mode))
	}
	require.NoError(t, os.Chmod(folder, 0o755))
	write("benchproof", string(self), 0o755)
	write("bench.yaml", fmt.Sprintf("sheet: /run/bench/sheet.yaml\nbus: [%s]\ncheckpoint-beats: 1\n%s", port, settings), 0o644)
	write("sheet.yaml", string(sheet.Starter()), 0o644)
	write("units/benchproof@.service", strings.ReplaceAll(string(unit), os.Args[0], "/run/bench/benchproof"), 0o644)
	write("units/benchproof@.service.d/test.conf", "[Service]\nEnvironment="+asProgram+"=1\nWatchdogSec=4\n", 0o644)
	for target, wants := range map[string]string{"sysinit": "", "basic": "", "shutdown": "", "bench": serviceOfTests} {
		write("units/"+target+".target", "[Unit]\nDefaultDependencies=no\nWants="+wants+"\n", 0o644)
	}

	for name, text := range more {
		write(name, text, 0o600)
	}

	s := &systemd{t: t, folder: folder}
	group := fmt.Sprintf("benchproof-test-%d", os.Getpid())
	cmd := exec.Command("unshare", "--mount", "bash", "-c", startSystemd, "systemd.sh", folder, group, "bench.target")
	cmd.Stdout, cmd.Stderr = &s.said, &s.said
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
		shell(t, "unshare", "--mount", "bash", "-ec", `mount -t cgroup2 none /mnt; for try in 1 2 3 4 5 6 7 8 9 10; do `+
			`find "/mnt/$1" -depth -type d -exec rmdir {} + 2>/dev/null && exit; sleep 0.2; done; exit 1`, "bash", group)
	})
	require.Eventually(t, func() bool {
		children, _ := os.ReadFile(fmt.Sprintf("/proc/%d/task/%d/children", cmd.Process.Pid, cmd.Process.Pid))
		s.one = strings.TrimSpace(string(children))
		return s.one != "" && s.show()["ActiveState"] == "active"
	}, 20*time.Second, 50*time.Millisecond, "the service is up")
	return s
}

// control runs systemctl in that world.
func (s *systemd) control(args ...string) (string, error) {
	out, err := exec.Command("nsenter", append([]string{"-t", s.one, "-m", "-p", "systemctl"}, args...)...).CombinedOutput()
	return string(out), err
}

// show is what systemd knows of the service.
func (s *systemd) show() map[string]string {
	out, _ := s.control("show", "-p", "ActiveState,Result,StatusText,NRestarts,ExecMainStatus", serviceOfTests)
	known := map[string]string{}
	for line := range strings.Lines(out) {
		name, value, _ := strings.Cut(strings.TrimSuffix(line, "\n"), "=")
		known[name] = value
	}
	return known
}

// until waits for the service to be so.
func (s *systemd) until(what string, is func(known map[string]string) bool) {
	s.t.Helper()
	var known map[string]string
	if !assert.Eventually(s.t, func() bool { known = s.show(); return is(known) }, 30*time.Second, 50*time.Millisecond, what) {
		require.FailNow(s.t, what, "%v\n%s", s.show(), s.said.String())
	}
}

// benchOfService plays a bench and is the port that the service of a test hears it at.
func benchOfService(t *testing.T) string {
	t.Helper()
	scripted, err := script.Parse("quiet", []byte(quietBench))
	require.NoError(t, err)
	ports, err := world.OpenPTYs(1)
	require.NoError(t, err)
	terminal, err := os.Readlink(ports.Paths()[0]) // the folder of its name is not seen by the service
	require.NoError(t, err)
	require.NoError(t, os.Chmod(terminal, 0o666)) // no group of serial ports has it
	ctx, stop := context.WithCancel(t.Context())
	var bench sync.WaitGroup
	bench.Go(func() { _ = world.Play(ctx, world.New(&scripted.Plan, 1), ports.Ends(), world.RealTime{}) })
	t.Cleanup(func() {
		stop()
		bench.Wait()
		assert.NoError(t, ports.Close())
	})
	return terminal
}

// The unit as it is given away, but for its paths, under a systemd that runs: it hears a port
// within all that is shut, is started again when it stands still, goes on with its session,
// and ends as it should.
func TestTheServiceUnderASystemdThatRuns(t *testing.T) {
	s := newSystemd(t, benchOfService(t), "", nil)
	heard := func(known map[string]string) bool {
		return strings.HasPrefix(known["StatusText"], "main ") && !strings.Contains(known["StatusText"], "GONE")
	}
	s.until("it hears the port", heard)
	r := &diskRig{folder: session.Folder("/proc/" + s.one + "/root/var/lib/private/benchproof/small/session")}
	r.until(t, 1)

	out, err := s.control("kill", "-s", "STOP", serviceOfTests)
	require.NoError(t, err, out)
	s.until("it is started again", func(known map[string]string) bool {
		return known["NRestarts"] != "0" && known["ActiveState"] == "active" && heard(known)
	})
	r.until(t, 1)

	began := time.Now()
	out, err = s.control("stop", serviceOfTests)
	require.NoError(t, err, out)
	assert.Less(t, time.Since(began), endsWithin)
	known := s.show()
	assert.Equal(t, "inactive", known["ActiveState"])
	assert.Equal(t, "success", known["Result"])
	assert.Equal(t, "130", known["ExecMainStatus"])
	r.requireMarks(t)
	assert.Len(t, ofKind(t, r.folder, event.SessionResumed), 1)
}

// With the drop-in for the local network the same unit shows its page over HTTPS to who has the
// token, which the service manager hands over, and keeps its authority with its own files.
func TestThePageOnTheNetworkUnderASystemdThatRuns(t *testing.T) {
	dropIn, err := os.ReadFile(filepath.Join("service", "local-network.conf"))
	require.NoError(t, err)
	s := newSystemd(t, benchOfService(t), "listen: 127.0.0.1:0\n", map[string]string{
		"units/benchproof@.service.d/local-network.conf": strings.ReplaceAll(string(dropIn), "/etc/benchproof/%i.token", "/run/bench/small.token"),
		"units/benchproof@.service.d/said.conf":          "[Service]\nStandardError=file:/run/bench/said\n",
		"small.token":                                    attackToken + "\n",
	})
	var said string
	shownAt := regexp.MustCompile(`shown at (https://127\.0\.0\.1:\d+/)`)
	require.Eventually(t, func() bool {
		text, _ := os.ReadFile(filepath.Join(s.folder, "said"))
		said = string(text)
		return shownAt.MatchString(said) && strings.Contains(said, "before you trust it")
	}, 20*time.Second, 50*time.Millisecond, "where it is shown")
	assert.Contains(t, said, "/var/lib/benchproof/small/tls/authority.crt")
	authority, err := os.ReadFile("/proc/" + s.one + "/root/var/lib/private/benchproof/small/tls/authority.crt")
	require.NoError(t, err)
	roots := x509.NewCertPool()
	require.True(t, roots.AppendCertsFromPEM(authority))
	phone := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}}}
	defer phone.CloseIdleConnections()
	for token, want := range map[string]int{"": 401, "Bearer " + attackToken: 200} {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, shownAt.FindStringSubmatch(said)[1]+"api/state", nil)
		require.NoError(t, err)
		r.Header.Set("Authorization", token)
		got, err := phone.Do(r)
		require.NoError(t, err)
		require.NoError(t, got.Body.Close())
		assert.Equal(t, want, got.StatusCode)
	}
}
