package recording_test

import (
	"bytes"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// Whatever the bytes, reading ends, dates never go back, read sizes do not
// matter, and reading on from any mark gives the same rest.
func FuzzReader(f *testing.F) {
	file := write(f, section(0), every(f)[:16])
	file = append(file, write(f, section(16), every(f)[16:17])...)
	f.Add(file)
	f.Add(file[:len(file)-30])
	f.Add(append(bytes.Clone(file[:len(file)-30]), file...))
	f.Add([]byte("hello"))
	f.Add([]byte{})
	hurt := bytes.Clone(file)
	hurt[len(hurt)/2] ^= 0x10
	f.Add(hurt)
	f.Fuzz(func(t *testing.T, file []byte) {
		r := recording.NewReader(bytes.NewReader(file))
		want, end := drain(r)
		last := unit.Time(0)
		for _, in := range want {
			require.GreaterOrEqual(t, in.At, last)
			last = in.At
		}
		offset, _ := r.Tail()
		require.LessOrEqual(t, offset, int64(len(file)))
		got, err := drain(recording.NewReader(iotest.OneByteReader(bytes.NewReader(file))))
		require.Equal(t, want, got)
		require.Equal(t, end, err)
		requireMarks(t, file, want)
	})
}

func requireMarks(t *testing.T, file []byte, want []event.Input) {
	r := recording.NewReader(bytes.NewReader(file))
	for i := range want {
		var in event.Input
		require.NoError(t, r.Next(&in))
		if i%5 != 0 {
			continue
		}
		at, err := recording.NewReaderAt(bytes.NewReader(file), r.Position())
		require.NoError(t, err)
		got, _ := drain(at)
		require.Len(t, got, len(want)-i-1)
		for j := range got {
			require.True(t, same(want[i+1+j], got[j]))
		}
	}
}
