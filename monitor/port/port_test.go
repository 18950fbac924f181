package port

import (
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"syscall"
	"testing"
	"testing/iotest"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.bug.st/serial"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// listener collects what a sequencer is given.
type listener struct {
	seq    *Sequencer
	inputs []event.Input
}

// until takes inputs until ok holds.
func (h *listener) until(t *testing.T, ok func(event.Input) bool) event.Input {
	t.Helper()
	for b := taken(h.seq, Judge); b != nil; b = taken(h.seq, Judge) {
		taken(h.seq, Recorder)
		found := -1
		for i := range b.Len() {
			h.inputs = append(h.inputs, b.Input(i))
			if found < 0 && ok(b.Input(i)) {
				found = i
			}
		}
		if found >= 0 {
			return b.Input(found)
		}
	}
	t.Fatal("the sequencer was closed before")
	return event.Input{}
}

func isKind(k event.InputKind) func(event.Input) bool {
	return func(in event.Input) bool { return in.Kind == k }
}

func runPort(t *testing.T, path string) *listener {
	t.Helper()
	h := &listener{seq: NewSequencer(Clock, 0, 0)}
	h.seq.gather = 0
	p := &Port{Tap: 1, Path: path, Seq: h.seq, retry: time.Millisecond}
	ctx, stop := context.WithCancel(t.Context())
	var running sync.WaitGroup
	running.Go(func() { p.Run(ctx) })
	t.Cleanup(func() {
		stop()
		running.Wait()
	})
	return h
}

func TestAPortThatDiesAndReturnsCostsNoByteAndNoDescriptor(t *testing.T) {
	ports, err := world.OpenPTYs(1)
	require.NoError(t, err)
	t.Cleanup(func() { _ = ports.Close() })
	h := runPort(t, ports.Paths()[0])
	end := ports.Ends()[0]
	every := make([]byte, 256)
	for i := range every {
		every[i] = byte(i)
	}
	const rounds = 100
	before := 0
	for round := range rounds {
		up := h.until(t, isKind(event.InputTapUp))
		assert.Contains(t, string(up.Data), "100000 8E2")
		require.NoError(t, end.Deliver(world.Delivery{Kind: world.Data, Data: every}))
		var got []byte
		h.until(t, func(in event.Input) bool {
			if in.Kind == event.InputBytes {
				got = append(got, in.Data...)
			}
			return len(got) >= len(every)
		})
		require.Equal(t, every, got, "round %d", round)
		require.NoError(t, end.Deliver(world.Delivery{Kind: world.Unplugged}))
		down := h.until(t, isKind(event.InputTapDown))
		assert.Contains(t, string(down.Data), "went away")
		if n := descriptors(t); round == 2 {
			before = n
		} else if round > 2 {
			assert.LessOrEqual(t, n, before+1)
		}
		require.NoError(t, end.Deliver(world.Delivery{Kind: world.Plugged}))
	}
	ups, downs := 0, 0
	for _, in := range h.inputs {
		switch {
		case in.Kind == event.InputTapUp:
			ups++
		case in.Kind == event.InputTapDown && strings.Contains(string(in.Data), "went away"):
			downs++
		}
	}
	assert.Equal(t, rounds, downs)
	assert.GreaterOrEqual(t, ups, rounds)
	assert.LessOrEqual(t, ups, rounds+1, "it came back once more at the end")
}

func descriptors(t *testing.T) int {
	t.Helper()
	if runtime.GOOS != "linux" {
		return 0
	}
	list, err := os.ReadDir("/proc/self/fd")
	require.NoError(t, err)
	return len(list)
}

func TestAMissingPortIsWaitedFor(t *testing.T) {
	ports, err := world.OpenPTYs(1)
	require.NoError(t, err)
	t.Cleanup(func() { _ = ports.Close() })
	link := filepath.Join(t.TempDir(), "later")
	h := runPort(t, link)
	down := h.until(t, isKind(event.InputTapDown))
	assert.Equal(t, "there is no port "+link+": plug the adapter in, and it is opened by itself, or name another port "+
		"(benchproof ports lists them)", string(down.Data))
	require.NoError(t, os.Symlink(ports.Paths()[0], link))
	h.until(t, isKind(event.InputTapUp))
}

func TestANonPortIsNamed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	h := runPort(t, path)
	down := h.until(t, isKind(event.InputTapDown))
	assert.Contains(t, string(down.Data), path)
	assert.Contains(t, string(down.Data), "not a serial port")
}

// A claim does not bind root, and a container's root may do what it likes with
// files, so these errors are made here as the system and the library make them.
func TestExplain(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{&fs.PathError{Op: "open", Path: "/dev/x", Err: syscall.ENOENT}, "there is no port /dev/x: plug the adapter in"},
		{&fs.PathError{Op: "open", Path: "/dev/x", Err: syscall.EACCES}, "you may not open /dev/x: join the group that owns it"},
		{&fs.PathError{Op: "open", Path: "/dev/x", Err: syscall.EBUSY}, "another program holds /dev/x: close that program"},
		{&HeldError{Path: "/dev/x", By: []Holder{{PID: 1234567, Program: "terminal"}}}, "terminal (process 1234567) holds /dev/x: close that program"},
		{&HeldError{Path: "/dev/x", By: []Holder{{PID: 1234567}, {}}}, "process 1234567 and another benchproof hold /dev/x: close those programs"},
		{&HeldError{Path: "/dev/x", By: []Holder{{PID: os.Getpid()}}}, "/dev/x is listened to already, under another name or tap: name each port once"},
		{errors.New("odd"), "/dev/x could not be opened (odd): check the adapter"},
	} {
		assert.Contains(t, Explain("/dev/x", c.err), c.want)
	}
	_, err := serial.Open(filepath.Join(t.TempDir(), "none"), mode(BoardSettings))
	assert.Contains(t, Explain("/dev/x", err), "there is no port /dev/x")
}

// The same trouble is one event, however often it is met.
func TestTroubleIsSaidOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		seq := NewSequencer(func() int64 { return int64(time.Since(start)) }, 0, 0)
		tries := 0
		p := &Port{Tap: 1, Path: "/dev/x", Seq: seq, Open: func(string) (io.ReadCloser, error) {
			if tries++; tries == 41 {
				return io.NopCloser(bytes.NewReader([]byte("abc"))), nil
			}
			return nil, &fs.PathError{Op: "open", Path: "/dev/x", Err: syscall.EACCES}
		}}
		ctx, stop := context.WithTimeout(t.Context(), 13*time.Second)
		defer stop()
		p.Run(ctx)
		seq.Close(event.InputEnd)
		var kinds []event.InputKind
		b := taken(seq, Judge)
		for i := range b.Len() {
			kinds = append(kinds, b.Input(i).Kind)
		}
		assert.Equal(t, []event.InputKind{event.InputTapDown, event.InputTapUp, event.InputBytes, event.InputTapDown, event.InputTapDown, event.InputEnd}, kinds)
		assert.Equal(t, unit.Time(2*unit.Second), b.Input(0).At, "a refusal may be over in a moment")
		assert.Equal(t, unit.Time(10*unit.Second), b.Input(1).At, "retried every 250 ms")
	})
}

// A port that went away is missing until it comes back: that is one thing, said once.
func TestAPortThatWentAwayIsNotSaidToBeMissing(t *testing.T) {
	fails := func(err error) func() (io.ReadCloser, error) {
		return func() (io.ReadCloser, error) { return nil, &fs.PathError{Op: "open", Path: "/dev/x", Err: err} }
	}
	missing, busy := fails(syscall.ENOENT), fails(syscall.EBUSY)
	opens := func() (io.ReadCloser, error) {
		return io.NopCloser(iotest.ErrReader(&fs.PathError{Op: "read", Path: "/dev/x", Err: syscall.EIO})), nil
	}
	tries := []func() (io.ReadCloser, error){missing, opens, missing, missing, busy, missing, opens, missing}
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		seq := NewSequencer(func() int64 { return int64(time.Since(start)) }, 0, 0)
		ctx, stop := context.WithCancel(t.Context())
		p := &Port{Tap: 1, Path: "/dev/x", Seq: seq, Open: func(string) (io.ReadCloser, error) {
			next := tries[0]
			if tries = tries[1:]; len(tries) == 0 {
				stop()
			}
			return next()
		}}
		p.Run(ctx)
		seq.Close(event.InputEnd)
		var said []string
		b := taken(seq, Judge)
		for i := range b.Len() {
			if in := b.Input(i); in.Kind == event.InputTapDown {
				why, _, _ := strings.Cut(string(in.Data), ": ")
				said = append(said, why)
			}
		}
		went := "/dev/x went away (input/output error)"
		assert.Equal(t, []string{"there is no port /dev/x", went, "another program holds /dev/x", "there is no port /dev/x", went}, said)
	})
}
