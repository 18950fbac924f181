package recording_test

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

const payloadAt = 28 // of a packet block

// rehash makes a changed packet block agree with its hash again.
func rehash(t *testing.T, block []byte) {
	size := int(binary.LittleEndian.Uint32(block[20:]))
	at := bytes.LastIndex(block, []byte{3, 0, 5, 0, 2})
	require.Greater(t, at, payloadAt)
	binary.BigEndian.PutUint32(block[at+5:], crc32.ChecksumIEEE(block[payloadAt:payloadAt+size]))
}

// Packets that no bad disk makes, since their hash agrees: another program, or
// a fault of ours. None is taken for an input.
func TestForgedPackets(t *testing.T) {
	inputs := steady(6)
	inputs[3] = event.Input{At: inputs[3].At, Kind: event.InputMark, Data: []byte("text")}
	file := write(t, section(0), inputs)
	ends := borders(t, section(0), inputs)
	for name, c := range map[string]struct {
		change func(block []byte)
		why    string
	}{
		"control lines":         {func(b []byte) { b[payloadAt+9] = 1 }, "serial header out of shape"},
		"footer":                {func(b []byte) { b[payloadAt+11] = 1 }, "serial header out of shape"},
		"unknown event":         {func(b []byte) { b[payloadAt+8] = 3 }, "unknown event"},
		"event of another":      {func(b []byte) { b[payloadAt+8] = 10 }, "unknown event"},
		"unknown word":          {func(b []byte) { copy(b[bytes.Index(b, []byte("mark:")):], "markz") }, "unknown event"},
		"header's date":         {func(b []byte) { b[payloadAt+7] ^= 1 }, "packet dates differ"},
		"a million µs":          {func(b []byte) { copy(b[payloadAt+4:], []byte{0xFF, 0, 0, 0}) }, "packet dates differ"},
		"original length":       {func(b []byte) { b[24]++ }, "packet lengths out of shape"},
		"longer than its block": {func(b []byte) { b[22], b[26] = 1, 1 }, "packet lengths out of shape"},
		"shorter than header":   {func(b []byte) { b[20], b[24] = 11, 11 }, "packet lengths out of shape"},
		"tap of another":        {func(b []byte) { b[bytes.Index(b, []byte{5, 0, 8, 0})+4] = 1 }, "interface and packet id name different taps"},
		"unknown interface":     {func(b []byte) { b[8] = 9 }, "interface and packet id name different taps"},
	} {
		forged := bytes.Clone(file)
		block := forged[ends[3]:ends[4]]
		c.change(block)
		if size := int(binary.LittleEndian.Uint32(block[20:])); size < 1000 {
			rehash(t, block)
		}
		got, r := read(t, forged)
		require.Len(t, got, 6, name)
		assert.Equal(t, int64(1), gapOf(t, got[3]).Inputs, name)
		assert.Equal(t, slices.Concat(inputs[:3], got[3:4], inputs[4:]), got, name)
		assert.Equal(t, []recording.Damage{{Offset: ends[3], Why: c.why}}, r.Damages(), name)
	}
}

// A packet whose date lies before the one in front of it is refused.
func TestDateBack(t *testing.T) {
	inputs := steady(6)
	earlier := slices.Clone(inputs)
	for i := range earlier {
		earlier[i].At = earlier[i].At.Add(unit.Second)
	}
	file, other := write(t, section(0), inputs), write(t, section(0), earlier)
	ends := borders(t, section(0), inputs)
	copy(other[ends[4]:ends[5]], file[ends[4]:ends[5]])
	got, r := read(t, other)
	assert.Equal(t, slices.Concat(earlier[:4], got[4:5], earlier[5:]), got)
	assert.Equal(t, []recording.Damage{{Offset: ends[4], Why: "date goes back"}}, r.Damages())
}

// Other programs add counts to a capture; they say nothing of inputs.
func TestCountsArePassedOver(t *testing.T) {
	inputs := steady(4)
	counts := []byte{5, 0, 0, 0, 24, 0, 0, 0, 0, 0, 0, 0, 1, 2, 3, 4, 5, 6, 7, 8, 24, 0, 0, 0}
	at := borders(t, section(0), inputs)[2]
	got, r := read(t, slices.Insert(write(t, section(0), inputs), int(at), counts...))
	assert.Equal(t, inputs, got)
	assert.Zero(t, r.DamageCount())
}

// An interface that stands where it can't is refused, though its sum agrees.
func TestInterfaceOutOfPlace(t *testing.T) {
	inputs := steady(4)
	ends := borders(t, section(0), inputs)
	file := write(t, section(0), inputs)
	extra := file[ends[0] : ends[0]+interfaceLen(t)]
	got, r := read(t, slices.Insert(bytes.Clone(file), int(ends[2]), extra...))
	assert.Equal(t, inputs, got)
	assert.Equal(t, []recording.Damage{{Offset: ends[2], Why: "interface damaged or not ours"}}, r.Damages())
}

// The text of a mark may hold what looks like a packet. When that mark is
// damaged the search must not trip over it.
func TestPacketWithinAPacket(t *testing.T) {
	inputs := steady(8)
	ends := borders(t, section(0), inputs)
	inner := bytes.Clone(write(t, section(0), inputs)[ends[6]:ends[7]])
	inputs[3] = event.Input{At: inputs[3].At, Kind: event.InputMark, Data: append(bytes.Repeat([]byte("x"), 401), inner...)}
	file, ends := write(t, section(0), inputs), borders(t, section(0), inputs)
	file[ends[4]-4] ^= 4
	got, r := read(t, file)
	assert.Equal(t, int64(1), gapOf(t, got[3]).Inputs)
	assert.Equal(t, slices.Concat(inputs[:3], got[3:4], inputs[4:]), got)
	assert.Equal(t, int64(1), r.DamageCount())
}
