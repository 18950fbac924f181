package session

import (
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/trace"
	"benchproof.example/monitor/unit"
)

// BenchmarkOldTrace is three minutes at the end of a packed half-hour, out of the recording: a bus
// that sends a frame each 20 ms.
func BenchmarkOldTrace(b *testing.B) {
	d := recordedHours(b)
	t := &Traces{folder: d.disk, sheet: d.sheet, memory: trace.NewMemory(), readers: make(chan struct{}, traceReaders)}
	end := unit.Time(59 * unit.Minute)
	for b.Loop() {
		s := trace.Span{From: end.Add(-3 * unit.Minute), To: end, Columns: 3600}
		a := s.Answer()
		from, to := a.Bounds()
		require.NoError(b, t.older(b.Context(), from, to, a))
		text, err := a.MarshalJSON()
		require.NoError(b, err)
		require.Greater(b, len(text), 100_000)
		b.ReportMetric(float64(len(text)), "bytes")
	}
}

// recordedHours is a session of an hour and a half, of which an hour is packed.
func recordedHours(b *testing.B) *days {
	d := newDays(b, 1, smallSheet)
	d.open()
	d.run(int64(95 * unit.Minute))
	return d
}
