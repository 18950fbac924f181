//go:build outside

package board_test

import (
	"bufio"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"benchproof.example/decode/pulse"
)

// The simulation as a serial port: its time begins when somebody opens it, goes as
// ours does, and stands still when nobody has it open.
func TestAsAPort(t *testing.T) {
	b := newBench()
	for at := 10 * milli; at < 20*second; at += 20 * milli {
		for o := range 8 {
			b.pulse(o+1, at+int64(o)*100*micro, 1000*micro+int64(o)*50*micro)
		}
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	tool := exec.CommandContext(ctx, filepath.Join(built, "board-sim"), "--pty", filepath.Join(built, asItIs), b.file(t))
	out, err := tool.StdoutPipe()
	require.NoError(t, err)
	tool.Stderr = os.Stderr
	require.NoError(t, tool.Start())
	defer func() {
		cancel()
		_ = tool.Wait() // killed
	}()
	talk := bufio.NewScanner(out)
	says := func() string {
		require.True(t, talk.Scan())
		return talk.Text()
	}
	path := says()

	began := time.Now()
	got := listen(t, path, 200)
	took := time.Since(began)
	assert.GreaterOrEqual(t, took, time.Duration(got[len(got)-1].Rise), "no faster than real time")
	b.compare(t, got)
	assert.Greater(t, got[len(got)-1].Rise, 450*milli)

	require.Equal(t, []string{"open", "closed"}, []string{says(), says()})
	again := listen(t, path, 100)
	assert.Less(t, again[len(again)-1].Rise, got[len(got)-1].Rise, "its clock began anew")
	for _, p := range again {
		require.InDelta(t, 1000*micro+int64(p.Output-1)*50*micro, p.Width, crowded)
	}
}

// listen opens the port and takes n pulses.
func listen(t *testing.T, path string, n int) (got []pulse.Pulse) {
	t.Helper()
	port, err := os.OpenFile(path, os.O_RDWR|unix.O_NOCTTY, 0)
	require.NoError(t, err)
	defer func() { require.NoError(t, port.Close()) }()
	var lines pulse.BoardDecoder
	buf := make([]byte, 4096)
	for len(got) < n {
		k, err := port.Read(buf) // ends when the simulation is killed
		require.NoError(t, err)
		lines.Feed(buf[:k], false, func(p *pulse.Pulse) { got = append(got, *p) })
	}
	sum := lines.Account()
	require.Zero(t, sum.Lost+sum.Dropped+sum.Restarts+sum.Expected)
	return got
}
