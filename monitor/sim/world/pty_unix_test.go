//go:build linux || darwin

package world_test

import (
	"io"
	"os"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

func everyByte() []byte {
	all := make([]byte, 256)
	for i := range all {
		all[i] = byte(i)
	}
	return all
}

func openPTYs(t *testing.T, n int) *world.PTYs {
	t.Helper()
	ptys, err := world.OpenPTYs(n)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, ptys.Close()) })
	return ptys
}

func openPort(t *testing.T, path string) *os.File {
	t.Helper()
	port, err := os.OpenFile(path, os.O_RDWR|syscall.O_NOCTTY, 0)
	require.NoError(t, err)
	t.Cleanup(func() { _ = port.Close() })
	require.NoError(t, port.SetReadDeadline(time.Now().Add(10*time.Second)), "bytes that never come must fail a test, not hang it")
	return port
}

// A listener that opens the port plainly reads every byte unchanged; the far
// side of an unplugged port ends, its name goes, and plugged in again the same
// name leads to another terminal.
func TestPTYRoundTrip(t *testing.T) {
	ptys := openPTYs(t, 2)
	require.Len(t, ptys.Paths(), 2)
	for i, end := range ptys.Ends() {
		path := ptys.Paths()[i]
		for range 2 {
			port := openPort(t, path)
			require.NoError(t, end.Deliver(world.Delivery{Kind: world.Data, Data: everyByte()}))
			got := make([]byte, 256)
			_, err := io.ReadFull(port, got)
			require.NoError(t, err)
			require.Equal(t, everyByte(), got)

			require.NoError(t, end.Deliver(world.Delivery{Kind: world.Unplugged}))
			_, err = port.Read(got)
			require.Error(t, err, "the port is gone")
			require.NotErrorIs(t, err, os.ErrDeadlineExceeded)
			_, err = os.Stat(path)
			require.ErrorIs(t, err, os.ErrNotExist)
			require.NoError(t, end.Deliver(world.Delivery{Kind: world.Data, Data: everyByte()}), "unheard")

			require.NoError(t, end.Deliver(world.Delivery{Kind: world.Plugged}))
		}
	}
}

// What is written while nobody has the port open is lost, not kept for the
// next one; what nobody reads never holds up the play.
func TestPTYLosesWhatNobodyHears(t *testing.T) {
	ptys := openPTYs(t, 1)
	end, path := ptys.Ends()[0], ptys.Paths()[0]
	deliver := func(data []byte) {
		require.NoError(t, end.Deliver(world.Delivery{Kind: world.Data, Data: data}))
	}
	for range 1000 {
		deliver(everyByte())
	}
	require.Equal(t, []int64{0}, ptys.Taken())
	port := openPort(t, path)
	deliver([]byte("now"))
	require.Equal(t, []int64{3}, ptys.Taken())
	got := make([]byte, 256)
	n, err := port.Read(got)
	require.NoError(t, err)
	require.Equal(t, "now", string(got[:n]))

	for range 4000 { // a megabyte that nobody reads
		deliver(everyByte())
	}
}

func TestPTYCloseLeavesNothing(t *testing.T) {
	ptys, err := world.OpenPTYs(1)
	require.NoError(t, err)
	require.NoError(t, ptys.Close())
	_, err = os.Lstat(ptys.Paths()[0])
	require.ErrorIs(t, err, os.ErrNotExist)
}

// A short script, in real time, arrives byte for byte.
func TestPlayOnPTY(t *testing.T) {
	script := simtest.Parse(t, "receiver main hold\nadapter main clump 1ms\n0s signal on\n300ms end")
	want := simtest.Play(script, 1).Bytes(0)
	require.Greater(t, len(want), 900)
	ptys := openPTYs(t, 1)
	port := openPort(t, ptys.Paths()[0])
	read := make(chan []byte)
	go func() {
		got := make([]byte, len(want))
		n, _ := io.ReadFull(port, got)
		read <- got[:n]
	}()
	start := time.Now()
	require.NoError(t, world.Play(t.Context(), world.New(&script.Plan, 1), ptys.Ends(), world.RealTime{}))
	assert.GreaterOrEqual(t, time.Since(start), 300*time.Millisecond)
	assert.Equal(t, want, <-read)
}
