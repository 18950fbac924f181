//go:build linux

package port_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/world"
)

// How long each reader is fed before it is measured, and how long it is measured.
const (
	warmUp   = time.Second
	measured = 5 * time.Second
	period   = 7 * time.Millisecond
)

// BenchmarkReading measures what it costs to hear live buses, from port to
// recording: the processor time of `benchproof watch`, beside that of a plain C
// program that polls and reads the same streams and throws them away. Both are
// fed at the same time, at real pace, a frame in one piece, the buses one after
// the other within a period, so that nothing clumps by luck. With a page that looks, what is
// heard is judged and told to it sooner: that costs the difference.
func BenchmarkReading(b *testing.B) {
	folder := b.TempDir()
	plain, ours := filepath.Join(folder, "reader"), filepath.Join(folder, "benchproof")
	run(b, "cc", "-O2", "-o", plain, "testdata/reader.c")
	run(b, "go", "build", "-o", ours, "benchproof.example/cmd/benchproof")
	for _, c := range []struct {
		name  string
		buses int
		page  bool
	}{{"1-buses", 1, false}, {"8-buses", 8, false}, {"1-buses-and-a-page", 1, true}, {"8-buses-and-a-page", 8, true}} {
		b.Run(c.name, func(b *testing.B) {
			buses := c.buses
			var cost, yardstick time.Duration
			for b.Loop() {
				var shown []string
				if c.page {
					shown = look(b)
				}
				used := hear(b, buses,
					func(ports []string) *exec.Cmd { return watchCommand(b, ours, ports, shown...) },
					func(ports []string) *exec.Cmd { return exec.Command(plain, ports...) })
				cost, yardstick = cost+used[0], yardstick+used[1]
			}
			frames := float64(b.N) * float64(buses) * float64(measured/period)
			b.ReportMetric(float64(cost.Nanoseconds())/frames, "ns/frame")
			b.ReportMetric(float64(yardstick.Nanoseconds())/frames, "C-ns/frame")
			b.ReportMetric(float64(cost)/float64(yardstick), "times-C")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// look has a page look at the program that is started next: one that reads the stream as it
// comes. It gives the flags for the program.
func look(b *testing.B) (flags []string) {
	b.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	address := l.Addr().String()
	require.NoError(b, l.Close())
	ctx, stop := context.WithCancel(b.Context())
	over := make(chan int64)
	go func() {
		var read int64
		for ctx.Err() == nil {
			request, _ := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+address+"/api/live", nil)
			answer, err := http.DefaultClient.Do(request)
			if err != nil {
				continue // it does not listen yet
			}
			n, _ := io.Copy(io.Discard, answer.Body)
			_ = answer.Body.Close()
			read += n
		}
		over <- read
	}()
	b.Cleanup(func() {
		stop()
		require.Greater(b, <-over, int64(100_000), "bytes that the page was told")
	})
	return []string{"--listen", address}
}

func run(b *testing.B, name string, args ...string) {
	b.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	require.NoError(b, err, "%s", out)
}

// watchCommand is `benchproof watch` on the ports, with a sheet that has as many
// buses.
func watchCommand(b *testing.B, program string, ports []string, more ...string) *exec.Cmd {
	b.Helper()
	before, rest, found := bytes.Cut(sheet.Starter(), []byte("\ntaps:\n"))
	_, after, ended := bytes.Cut(rest, []byte("\n\n"))
	require.True(b, found && ended)
	text := append(before, "\ntaps:\n"...)
	args := []string{"watch"}
	for i, p := range ports {
		text = fmt.Appendf(text, "  bus%d: {kind: bus, carries: heard}\n", i)
		args = append(args, "--bus", fmt.Sprintf("bus%d=%s", i, p))
	}
	folder := b.TempDir()
	path := filepath.Join(folder, "sheet.yaml")
	require.NoError(b, os.WriteFile(path, append(append(text, '\n'), after...), 0o600))
	args = append(args, "--sheet", path, "--session", filepath.Join(folder, "session"))
	return exec.Command(program, append(args, more...)...)
}

// hear starts programs, each on ports of its own, feeds all of them the same and
// gives the processor time that each took while it was measured.
func hear(b *testing.B, buses int, commands ...func(ports []string) *exec.Cmd) (used []time.Duration) {
	b.Helper()
	var running []*exec.Cmd
	var ends []world.Sink
	for _, command := range commands {
		ports, err := world.OpenPTYs(buses)
		require.NoError(b, err)
		defer func() { require.NoError(b, ports.Close()) }()
		cmd := command(ports.Paths())
		require.NoError(b, cmd.Start())
		running, ends = append(running, cmd), append(ends, ports.Ends()...)
	}
	ctx, stop := context.WithCancel(b.Context())
	fed := make(chan error)
	go func() { fed <- feed(ctx, buses, ends) }()
	time.Sleep(warmUp)
	for _, cmd := range running {
		used = append(used, -processorTime(b, cmd.Process.Pid))
	}
	time.Sleep(measured)
	for i, cmd := range running {
		used[i] += processorTime(b, cmd.Process.Pid)
	}
	stop()
	require.NoError(b, <-fed)
	for i, cmd := range running {
		require.Positive(b, used[i])
		require.NoError(b, cmd.Process.Signal(os.Interrupt))
		_ = cmd.Wait() // interrupted, as it should be
	}
	return used
}

// feed writes a frame to each bus in its turn, the same to each program, until ctx
// is done. ends are the buses of the first program, then those of the next.
func feed(ctx context.Context, buses int, ends []world.Sink) error {
	var frame bus.Frame
	var raw [servobus.FrameLen]byte
	began := time.Now()
	for n := 0; ctx.Err() == nil; n++ {
		frame.Counts[0] = uint32(992 + n/buses%97)
		servobus.Encode(&frame, raw[:])
		due := time.Duration(n) * period / time.Duration(buses)
		time.Sleep(time.Until(began.Add(due)))
		for i := n % buses; i < len(ends); i += buses {
			if err := ends[i].Deliver(world.Delivery{Kind: world.Data, Data: raw[:]}); err != nil {
				return err
			}
		}
	}
	return nil
}

// processorTime is what a process has used so far, all threads, user and system.
func processorTime(b *testing.B, pid int) time.Duration {
	b.Helper()
	var t unix.Timespec
	// The clock of a process: clock_getcpuclockid(3).
	require.NoError(b, unix.ClockGettime(int32(^pid<<3|2), &t))
	return time.Duration(t.Nano())
}
