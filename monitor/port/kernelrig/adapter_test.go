//go:build linux

package main

import (
	"encoding/binary"
	"encoding/hex"
	"net"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// host is the other end of the stream: what the kernel does, by hand.
type host struct {
	net.Conn
	t   *testing.T
	seq uint32
}

func plugged(t *testing.T) (*host, *adapter) {
	ours, theirs := net.Pipe()
	a := &adapter{serial: "S1", conn: theirs}
	ended := make(chan struct{})
	go func() { defer close(ended); _ = a.serve() }()
	t.Cleanup(func() {
		assert.NoError(t, ours.Close())
		<-ended
		assert.NoError(t, a.unplug())
	})
	return &host{ours, t, 0}, a
}

// ask sends a request: 48 bytes written out as the protocol's description has
// them.
func (h *host) ask(in, endpoint uint32, length int, setup string, out []byte) uint32 {
	h.t.Helper()
	h.seq++
	return h.send(1, h.seq, in, endpoint, 0, length, setup, out)
}

func (h *host) send(code, seq, in, endpoint, flags uint32, length int, setup string, out []byte) uint32 {
	h.t.Helper()
	var b []byte
	for _, n := range []uint32{code, seq, 0x10002, in, endpoint, flags, uint32(length), 0, 0, 0} {
		b = binary.BigEndian.AppendUint32(b, n)
	}
	request, err := hex.DecodeString(setup)
	require.NoError(h.t, err)
	b = append(append(b, request...), make([]byte, 8-len(request))...)
	_, err = h.Write(append(b, out...))
	require.NoError(h.t, err)
	return seq
}

// hear reads a reply and so many bytes of data.
func (h *host) hear(code, seq uint32, status int32, length, data int) []byte {
	h.t.Helper()
	b := make([]byte, 48)
	_, err := h.readAll(b)
	require.NoError(h.t, err)
	word := func(i int) uint32 { return binary.BigEndian.Uint32(b[4*i:]) }
	assert.Equal(h.t, code, word(0))
	assert.Equal(h.t, seq, word(1))
	assert.Equal(h.t, status, int32(word(5)))
	assert.Equal(h.t, length, int(word(6)))
	in := make([]byte, data)
	_, err = h.readAll(in)
	require.NoError(h.t, err)
	return in
}

func (h *host) readAll(b []byte) (n int, err error) {
	for n < len(b) && err == nil {
		var k int
		k, err = h.Read(b[n:])
		n += k
	}
	return n, err
}

func TestItSaysWhatItIs(t *testing.T) {
	h, _ := plugged(t)
	device := h.hear(3, h.ask(1, 0, 64, "8006000100004000", nil), 0, 18, 18)
	assert.Equal(t, "120100020000000803040160000401020301", hex.EncodeToString(device))
	config := h.hear(3, h.ask(1, 0, 9, "8006000200000900", nil), 0, 9, 9)
	assert.Equal(t, "090220000101008032", hex.EncodeToString(config), "no more than was asked for")
	serial := h.hear(3, h.ask(1, 0, 255, "800603030904ff00", nil), 0, 6, 6)
	assert.Equal(t, "060353003100", hex.EncodeToString(serial))
	h.hear(3, h.ask(1, 0, 10, "8006000600000a00", nil), -32, 0, 0)
}

// The requests are those that the kernel's driver was seen to send.
func TestItTakesLineSettings(t *testing.T) {
	for _, c := range []struct {
		setup []string
		want  string
	}{
		{[]string{"40031e0000000000", "4004081200000000"}, "100000 8E2"},
		{[]string{"40031a0000000000", "4004080000000000"}, "115384 8N1"},
		{[]string{"4003384100000000", "4004070100000000"}, "0 7O1"}, // with a fraction
	} {
		h, a := plugged(t)
		for _, s := range c.setup {
			h.hear(3, h.ask(0, 0, 0, s, nil), 0, 0, 0)
		}
		assert.Equal(t, c.want, a.report()["line"])
	}
	h, a := plugged(t)
	h.hear(3, h.ask(0, 0, 0, "4009010000000000", nil), 0, 0, 0)
	assert.Equal(t, 1, a.report()["latency_ms"])
	assert.Equal(t, []byte{1}, h.hear(3, h.ask(1, 0, 1, "c00a000000000100", nil), 0, 1, 1))
	h.hear(3, h.ask(0, 0, 0, "4063000000000000", nil), -32, 0, 0)
}

func TestItCarriesPacketsWithTheirStatus(t *testing.T) {
	h, a := plugged(t)
	waits := h.ask(1, fromWire, 512, "", nil)
	second := h.ask(1, fromWire, 512, "", nil)
	go func() { assert.NoError(t, a.receive(0, []byte("ab"))) }()
	assert.Equal(t, "\x01\x60ab", string(h.hear(3, waits, 0, 4, 4)))
	go func() { assert.NoError(t, a.receive(badParity, []byte("c"))) }()
	assert.Equal(t, "\x01\x64c", string(h.hear(3, second, 0, 3, 3)))
}

func TestItKeepsTheLatestPackets(t *testing.T) {
	h, a := plugged(t)
	for i := range collected + 2 {
		require.NoError(t, a.receive(0, []byte{byte(i)}))
	}
	assert.Equal(t, 2, a.report()["lost_packets"])
	assert.Equal(t, []byte{0x01, 0x60, 2}, h.hear(3, h.ask(1, fromWire, 512, "", nil), 0, 3, 3))
}

func TestItWithdrawsRequests(t *testing.T) {
	h, a := plugged(t)
	waits := h.ask(1, fromWire, 512, "", nil)
	h.hear(4, h.send(2, 90, 0, 0, waits, 0, "", nil), -104, 0, 0)
	h.hear(4, h.send(2, 91, 0, 0, waits, 0, "", nil), 0, 0, 0)
	require.NoError(t, a.receive(0, []byte("a")))
	h.hear(3, h.ask(1, fromWire, 512, "", nil), 0, 3, 3)
}

func TestItCountsWhatIsSent(t *testing.T) {
	h, a := plugged(t)
	h.hear(3, h.ask(0, toWire, 3, "", []byte("abc")), 0, 3, 0)
	h.hear(3, h.ask(0, 0, 0, "40031e0000000000", nil), 0, 0, 0)
	h.hear(3, h.ask(0, 0, 0, "4004081200000000", nil), 0, 0, 0)
	h.hear(3, h.ask(0, toWire, 2, "", []byte("de")), 0, 2, 0)
	assert.Equal(t, 3, a.report()["early"])
	assert.Equal(t, 2, a.report()["written"])
}

func TestItRefusesAnEndlessRequest(t *testing.T) {
	ours, theirs := net.Pipe()
	a := &adapter{conn: theirs}
	failed := make(chan error)
	go func() { failed <- a.serve() }()
	h := &host{ours, t, 0}
	h.ask(0, toWire, -1, "", nil)
	assert.ErrorContains(t, <-failed, "want 0 to 1048576")
	require.NoError(t, ours.Close())
	require.NoError(t, a.unplug())
}
