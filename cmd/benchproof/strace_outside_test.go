//go:build outside && linux

package main

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// tracedCalls are all calls with which Linux lets a program change a file, or say something.
const tracedCalls = "openat,open,creat,openat2,close,dup,dup2,dup3,read,lseek,write,pwrite64,writev,pwritev,pwritev2,sendfile,copy_file_range,splice," +
	"ftruncate,truncate,fallocate,fsync,fdatasync,sync_file_range,sync,syncfs,msync,rename,renameat,renameat2,link,linkat,symlink,symlinkat," +
	"unlink,unlinkat,rmdir,mkdir,mkdirat"

// traced has strace write what a program does. The program stays our child (-D), so that
// signals and exit codes are its own.
func traced(to string, cmd *exec.Cmd) *exec.Cmd {
	args := []string{"-D", "-f", "--seccomp-bpf", "-q", "-y", "-xx", "-s", "4194304", "-e", "trace=" + tracedCalls, "-o", to, "--"}
	under := exec.Command("strace", append(args, cmd.Args...)...)
	under.Env = cmd.Env
	return under
}

// systemCall is a call to the kernel that succeeded.
type systemCall struct {
	began, ended int // line of the trace
	name         string
	args         string // as strace shows them
	result       string
}

// readTrace reads what strace wrote of a program that has ended; strace ends a moment later.
func readTrace(t *testing.T, path string, program int) (list []systemCall) {
	t.Helper()
	ended := regexp.MustCompile(fmt.Sprintf(`(?m)^%d +\+\+\+ `, program)) // its threads may follow
	require.Eventually(t, func() bool {
		end := endOf(path)
		return bytes.HasSuffix(end, []byte(" +++\n")) && ended.Match(end)
	}, 20*time.Second, 50*time.Millisecond, "strace ends")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	under := map[string]systemCall{} // by thread, what is not over yet
	for n, line := range strings.Split(strings.TrimSuffix(string(text), "\n"), "\n") {
		thread, rest, _ := strings.Cut(line, " ")
		rest = strings.TrimLeft(rest, " ")
		if strings.HasPrefix(rest, "+++ ") || strings.HasPrefix(rest, "--- ") {
			continue // a thread has ended, or got a signal
		}
		call := systemCall{began: n}
		if again, rests, found := strings.Cut(rest, " resumed>"); found && strings.HasPrefix(again, "<... ") {
			call, rest = under[thread], rests
			delete(under, thread)
		} else {
			call.name, rest, found = strings.Cut(rest, "(")
			require.True(t, found, line)
		}
		args, unfinished := strings.CutSuffix(rest, " <unfinished ...>")
		if unfinished {
			call.args += args
			under[thread] = call
			continue
		}
		at := strings.LastIndex(rest, ") ")
		require.NotEqual(t, -1, at, line)
		call.args += rest[:at]
		call.ended, call.result = n, strings.TrimLeft(rest[at+2:], "= ")
		if !strings.HasPrefix(call.result, "-1 ") && !strings.HasPrefix(call.result, "?") {
			list = append(list, call)
		}
	}
	return list
}

// endOf is the end of a file that is being written, which may be large: a program reads its own file.
func endOf(path string) []byte {
	f, err := os.Open(path)
	if err != nil {
		return nil
	}
	defer func() { _ = f.Close() }()
	end := make([]byte, 16<<10)
	size, _ := f.Seek(0, io.SeekEnd)
	n, _ := f.ReadAt(end, max(0, size-int64(len(end))))
	return end[:n]
}

var (
	descriptor = regexp.MustCompile(`^(\d+)(?:<([^>]*)>)?`)
	quoted     = regexp.MustCompile(`"((?:\\x[0-9a-f]{2})*)"(\.\.\.)?`)
)

// file is the descriptor that an argument or a result begins with, and what it leads to.
func file(t *testing.T, shown string) (fd int, path string) {
	t.Helper()
	found := descriptor.FindStringSubmatch(shown)
	if found == nil {
		return -1, ""
	}
	fd, err := strconv.Atoi(found[1])
	require.NoError(t, err)
	return fd, string(unhexed(t, found[2]))
}

// texts are the strings among the arguments.
func (c *systemCall) texts(t *testing.T) (list [][]byte) {
	t.Helper()
	for _, found := range quoted.FindAllStringSubmatch(c.args, -1) {
		require.Empty(t, found[2], "strace cut it short")
		list = append(list, unhexed(t, found[1]))
	}
	return list
}

// number is the last argument.
func (c *systemCall) number(t *testing.T) int64 {
	t.Helper()
	return whole(t, c.args[strings.LastIndex(c.args, " ")+1:])
}

func whole(t *testing.T, text string) int64 {
	t.Helper()
	n, err := strconv.ParseInt(text, 10, 64)
	require.NoError(t, err)
	return n
}

func unhexed(t *testing.T, text string) []byte {
	t.Helper()
	if !strings.Contains(text, `\x`) {
		return []byte(text)
	}
	b, err := hex.DecodeString(strings.ReplaceAll(text, `\x`, ""))
	require.NoError(t, err, text)
	return b
}

// asTheyTookEffect orders calls so that what was promised counts early and what was asked
// for late: a sync or an opened file from when the call ended on, all else from when it began.
func asTheyTookEffect(list []systemCall) []systemCall {
	when := func(c systemCall) int {
		switch c.name {
		case "fsync", "fdatasync", "openat", "read", "lseek":
			return c.ended
		}
		return c.began
	}
	slices.SortStableFunc(list, func(a, b systemCall) int { return when(a) - when(b) })
	return list
}
