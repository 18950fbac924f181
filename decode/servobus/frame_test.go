package servobus_test

import (
	"bytes"
	_ "embed"
	"encoding/hex"
	"encoding/json"
	"slices"
	"testing"

	"github.com/icza/bitio"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
)

//go:embed testdata/packing.json
var packing []byte

// The golden was made by packing.py with another language's big integers.
func TestFrameAgainstBigIntegers(t *testing.T) {
	var rows []struct {
		Counts bus.Counts
		Flags  bus.Flags
		Footer uint8
		Hex    string
	}
	require.NoError(t, json.Unmarshal(packing, &rows))
	require.Len(t, rows, 61)
	for _, row := range rows {
		want, err := hex.DecodeString(row.Hex)
		require.NoError(t, err)
		f := bus.Frame{Counts: row.Counts, Flags: row.Flags, Private: row.Footer}
		var raw [servobus.FrameLen]byte
		servobus.Encode(&f, raw[:])
		assert.Equal(t, want, raw[:])
		got := bus.Frame{Bad: true}
		servobus.Decode(raw[:], &got)
		assert.Equal(t, f, got)
	}
}

// channelsByBitReader reads the payload with a general bit reader. It takes the
// most significant bit first, so it gets the bytes from the last to the first
// and yields the channels in that order.
func channelsByBitReader(t require.TestingT, raw []byte) (c bus.Counts) {
	payload := slices.Clone(raw[1:23])
	slices.Reverse(payload)
	r := bitio.NewReader(bytes.NewReader(payload))
	for i := servobus.Channels - 1; i >= 0; i-- {
		v, err := r.ReadBits(11)
		require.NoError(t, err)
		c[i] = uint32(v)
	}
	return c
}

func TestUnpackAgainstGeneralBitReader(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var raw [servobus.FrameLen]byte
		copy(raw[:], rapid.SliceOfN(rapid.Byte(), servobus.FrameLen, servobus.FrameLen).Draw(t, "raw"))
		var frame bus.Frame
		servobus.Decode(raw[:], &frame)
		require.Equal(t, channelsByBitReader(t, raw[:]), frame.Counts)
		raw[0] = 0x0F
		var back [servobus.FrameLen]byte
		servobus.Encode(&frame, back[:])
		require.Equal(t, raw, back)
	})
}

func TestFlagsOfByte23(t *testing.T) {
	read := func(flags byte) (frame bus.Frame) {
		raw := [servobus.FrameLen]byte{servobus.FrameLen - 2: flags}
		servobus.Decode(raw[:], &frame)
		return frame
	}
	for bit, flag := range []func(*bus.Frame) bool{
		func(f *bus.Frame) bool { return f.Digital(0) }, func(f *bus.Frame) bool { return f.Digital(1) },
		(*bus.Frame).Lost, (*bus.Frame).Failsafe,
	} {
		set, unset := read(1<<bit), read(^byte(1<<bit))
		assert.True(t, flag(&set), "bit %d", bit)
		assert.False(t, flag(&unset), "all but bit %d", bit)
	}
	assert.Equal(t, bus.Flags(0xA0), read(0xAF).Flags&bus.Unassigned)
}

// A character of 8E2 is 1+8+1+2 bits; at 100 000 baud a bit takes 10 µs.
func TestTimesFollowFromTheLineSettings(t *testing.T) {
	const bit = 1_000_000_000 / 100_000
	p := servobus.Protocol()
	assert.Equal(t, int64((1+8+1+2)*bit), p.CharTime())
	assert.Equal(t, int64(3_000_000), p.FrameTime())
	assert.Equal(t, int64(bit), p.LastStop())
}
