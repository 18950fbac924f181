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

	"benchproof.example/decode/servobus"
)

//go:embed testdata/packing.json
var packing []byte

// The golden was made by packing.py with another language's big integers.
func TestFrameAgainstBigIntegers(t *testing.T) {
	var rows []struct {
		Counts [servobus.Channels]uint16
		Flags  uint8
		Footer uint8
		Hex    string
	}
	require.NoError(t, json.Unmarshal(packing, &rows))
	require.Len(t, rows, 61)
	for _, row := range rows {
		want, err := hex.DecodeString(row.Hex)
		require.NoError(t, err)
		f := servobus.Frame{Counts: row.Counts, Flags: row.Flags, Footer: row.Footer}
		var raw [servobus.FrameLen]byte
		f.Encode(&raw)
		assert.Equal(t, want, raw[:])
		got := servobus.Frame{Bad: true}
		got.Decode(&raw)
		assert.Equal(t, f, got)
	}
}

// channelsByBitReader reads the payload with a general bit reader. It takes the
// most significant bit first, so it gets the bytes from the last to the first
// and yields the channels in that order.
func channelsByBitReader(t require.TestingT, raw []byte) (c [servobus.Channels]uint16) {
	payload := slices.Clone(raw[1:23])
	slices.Reverse(payload)
	r := bitio.NewReader(bytes.NewReader(payload))
	for i := len(c) - 1; i >= 0; i-- {
		v, err := r.ReadBits(11)
		require.NoError(t, err)
		c[i] = uint16(v)
	}
	return c
}

func TestUnpackAgainstGeneralBitReader(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var raw [servobus.FrameLen]byte
		copy(raw[:], rapid.SliceOfN(rapid.Byte(), servobus.FrameLen, servobus.FrameLen).Draw(t, "raw"))
		var f servobus.Frame
		f.Decode(&raw)
		require.Equal(t, channelsByBitReader(t, raw[:]), f.Counts)
		raw[0] = 0x0F
		var back [servobus.FrameLen]byte
		f.Encode(&back)
		require.Equal(t, raw, back)
	})
}

func TestFlags(t *testing.T) {
	for bit, read := range []func(*servobus.Frame) bool{
		(*servobus.Frame).Ch17, (*servobus.Frame).Ch18, (*servobus.Frame).FrameLost, (*servobus.Frame).Failsafe,
	} {
		assert.True(t, read(&servobus.Frame{Flags: 1 << bit}), "bit %d", bit)
		assert.False(t, read(&servobus.Frame{Flags: ^uint8(1 << bit)}), "all but bit %d", bit)
	}
	assert.Equal(t, uint8(0xA0), (&servobus.Frame{Flags: 0xAF}).OddFlags())
}

// A character of 8E2 is 1+8+1+2 bits; at 100 000 baud a bit takes 10 µs.
func TestTimesFollowFromTheLineSettings(t *testing.T) {
	const bit = 1_000_000_000 / 100_000
	assert.Equal(t, (1+8+1+2)*bit, servobus.CharTime)
	assert.Equal(t, 3_000_000, servobus.FrameTime)
	assert.Equal(t, bit, servobus.LastStop)
}
