//go:build unix

package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"slices"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// within fails if a call takes longer than any refusal may.
func within(t *testing.T, args ...string) (code int, talk string) {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), time.Second)
	defer stop()
	var said bytes.Buffer
	done := make(chan struct{})
	go func() {
		defer close(done)
		code = run(ctx, args, io.Discard, &said)
	}()
	select {
	case <-done:
	case <-time.After(20 * time.Second):
		t.Fatalf("%v hangs", args)
	}
	return code, said.String()
}

// What lies in a session's folder may come by mail. In place of each of its files a link
// to something precious, or a pipe: no command follows the one or waits at the other.
func TestAFolderFromSomewhereElse(t *testing.T) {
	const frozen = "../../testdata/corpus/reedwing-resumed"
	traps := map[string]func(path, victim string) error{
		"link to somewhere else": func(path, victim string) error { return os.Symlink(victim, path) },
		"pipe":                   func(path, _ string) error { return syscall.Mkfifo(path, 0o600) },
	}
	names := []string{"sheet.yaml", "recording.pcapng", "timeline.jsonl", "checkpoints.jsonl", "record.json", "report.html", "faults.log", "lock"}
	for trap, plant := range traps {
		for _, name := range names {
			t.Run(trap+" at "+name, func(t *testing.T) {
				t.Parallel()
				home := t.TempDir()
				folder, victim := filepath.Join(home, "s"), filepath.Join(home, "victim")
				require.NoError(t, os.CopyFS(folder, os.DirFS(frozen)))
				require.NoError(t, os.WriteFile(victim, []byte("precious"), 0o600))
				path := filepath.Join(folder, name)
				require.NoError(t, os.RemoveAll(path))
				require.NoError(t, plant(path, victim))
				for _, args := range [][]string{
					{"report", folder}, {"replay", folder}, {"compare", folder, folder},
					{"watch", "--sheet", filepath.Join(frozen, "sheet.yaml"), "--session", folder, "--bus", "main=" + filepath.Join(home, "none")},
				} {
					code, talk := within(t, args...)
					assert.NotEqual(t, exitFault, code, "%v: %s", args, talk)
					if args[0] == "watch" && slices.Contains([]string{"sheet.yaml", "recording.pcapng", "timeline.jsonl", "checkpoints.jsonl", "lock"}, name) {
						assert.Contains(t, talk, path+" is a "+trap, "what watch writes to is looked at")
					}
				}
				text, err := os.ReadFile(victim)
				require.NoError(t, err)
				assert.Equal(t, "precious", string(text))
			})
		}
	}
}

// What the user names: a pipe, a device or a folder in place of a file is refused in a
// sentence, at once.
func TestNoCommandWaitsAtWhatIsNoFile(t *testing.T) {
	dir := t.TempDir()
	pipe := filepath.Join(dir, "pipe")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	const starter = "../../monitor/sheet/starter.yaml"
	for _, path := range []string{pipe, "/dev/zero", dir} {
		for _, args := range [][]string{
			{"sheet", "verify", path},
			{"decode", path},
			{"replay", "--sheet", starter, path},
			{"replay", "--sheet", path, "../../testdata/corpus/reedwing-resumed"},
			{"watch", "--sheet", starter, "--bus", "main=" + dir + "/none", "--config", path, "--session", filepath.Join(dir, "s")},
			{"watch", "--sheet", starter, "--bus", "main=" + dir + "/none", "--listen", "127.0.0.1:0", "--token-file", path, "--session", filepath.Join(dir, "s")},
			{"demo", "--script", path},
		} {
			code, talk := within(t, args...)
			assert.Equal(t, exitUsage, code, "%v: %s", args, talk)
			assert.Regexp(t, "is a (pipe|device|folder)|no session: it has no recording", talk, "%v", args)
		}
	}
}
