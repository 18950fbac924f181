package tap

import (
	"bytes"
	"errors"
	"io"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/fact"
)

// Byte i of a raw file ends at ⌊i/25⌋·period + (i mod 25 + 1)·120 µs.
func TestRawDates(t *testing.T) {
	for i, want := range map[int64]fact.Time{0: 120_000, 24: 3_000_000, 25: 7_120_000, 49: 10_000_000, 2500: 700_120_000} {
		assert.Equal(t, want, RawDate(i, 7*fact.Millisecond), "byte %d", i)
	}
}

func TestRawIsASessionWithBeats(t *testing.T) {
	s, err := NewRaw(bytes.NewReader(make([]byte, 25*300)), "file", 7*fact.Millisecond, "test")
	require.NoError(t, err)
	counts := map[fact.Kind]int{}
	last := fact.Time(0)
	var in fact.Input
	for err = s.Next(&in); err == nil; err = s.Next(&in) {
		counts[in.Kind]++
		require.GreaterOrEqual(t, in.At, last)
		last = in.At
	}
	require.ErrorIs(t, err, io.EOF)
	assert.Equal(t, map[fact.Kind]int{fact.Begin: 1, fact.TapUp: 1, fact.Bytes: 7500, fact.Beat: 2, fact.End: 1}, counts)
}

func TestRawSaysWhatIsWrong(t *testing.T) {
	_, err := NewRaw(bytes.NewReader(nil), "file", fact.Millisecond, "test")
	require.ErrorContains(t, err, "got a period of 1000000 ns")
	s, err := NewRaw(iotest.ErrReader(errors.New("worn out")), "file", 7*fact.Millisecond, "test")
	require.NoError(t, err)
	var in fact.Input
	for range 2 {
		require.NoError(t, s.Next(&in))
	}
	require.EqualError(t, s.Next(&in), "read file: worn out")
}
