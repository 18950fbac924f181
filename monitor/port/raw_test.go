package port

import (
	"bytes"
	"errors"
	"io"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// Byte i of a raw file ends at ⌊i/25⌋·period + (i mod 25 + 1)·120 µs.
func TestRawDates(t *testing.T) {
	for i, want := range map[int64]unit.Time{0: 120_000, 24: 3_000_000, 25: 7_120_000, 49: 10_000_000, 2500: 700_120_000} {
		assert.Equal(t, want, RawDate(servobus.Protocol(), i, 7*unit.Millisecond), "byte %d", i)
	}
}

func TestRawIsASessionWithBeats(t *testing.T) {
	s, err := NewRaw(bytes.NewReader(make([]byte, 25*300)), "file", servobus.Protocol(), 7*unit.Millisecond, "test")
	require.NoError(t, err)
	counts := map[event.InputKind]int{}
	last := unit.Time(0)
	var in event.Input
	for err = s.Next(&in); err == nil; err = s.Next(&in) {
		counts[in.Kind]++
		require.GreaterOrEqual(t, in.At, last)
		last = in.At
	}
	require.ErrorIs(t, err, io.EOF)
	assert.Equal(t, map[event.InputKind]int{event.InputBegin: 1, event.InputTapUp: 1, event.InputBytes: 7500, event.InputBeat: 2, event.InputEnd: 1}, counts)
}

func TestRawSaysWhatIsWrong(t *testing.T) {
	_, err := NewRaw(bytes.NewReader(nil), "file", servobus.Protocol(), unit.Millisecond, "test")
	require.ErrorContains(t, err, "got a period of 1000000 ns")
	s, err := NewRaw(iotest.ErrReader(errors.New("worn out")), "file", servobus.Protocol(), 7*unit.Millisecond, "test")
	require.NoError(t, err)
	var in event.Input
	for range 2 {
		require.NoError(t, s.Next(&in))
	}
	require.EqualError(t, s.Next(&in), "read file: worn out")
}
