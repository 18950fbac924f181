package recording_test

import (
	"bytes"
	"errors"
	"io"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

func TestNextAllocatesNothing(t *testing.T) {
	var inputs []event.Input
	for i, in := range steady(3000) {
		if i%10 == 9 {
			in.Tap, in.Kind, in.Data = event.BenchTap, event.InputMark, []byte("a mark")
		}
		inputs = append(inputs, in)
	}
	r := recording.NewReader(bytes.NewReader(write(t, section(0), inputs)))
	var in event.Input
	require.NoError(t, r.Next(&in))
	allocs := testing.AllocsPerRun(2000, func() {
		if r.Next(&in) != nil {
			t.Fatal("the recording ends early")
		}
	})
	assert.Zero(t, allocs)
}

// endless yields a recording as it is asked for, never all of it.
type endless struct {
	w    *recording.Writer
	out  bytes.Buffer
	at   unit.Time
	left int64
}

func (e *endless) Read(p []byte) (int, error) {
	for e.out.Len() == 0 {
		if e.left == 0 {
			return 0, io.EOF
		}
		for range 500 {
			in := event.Input{At: e.at, Tap: 1, Kind: event.InputBytes, Data: make([]byte, 1000)}
			if err := e.w.Write(&in); err != nil {
				return 0, err
			}
			e.at = e.at.Add(unit.Millisecond)
		}
		if err := e.w.Flush(); err != nil {
			return 0, err
		}
		e.left--
	}
	return e.out.Read(p)
}

func TestBigRecordingStaysFlatInMemory(t *testing.T) {
	src := &endless{left: 200} // 100 MB
	w, err := recording.NewWriter(&src.out, section(0))
	require.NoError(t, err)
	src.w = w
	r := recording.NewReader(src)
	var in event.Input
	var before, now runtime.MemStats
	runtime.ReadMemStats(&before)
	inputs, most := 0, uint64(0)
	for {
		err := r.Next(&in)
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if inputs++; inputs%20_000 == 0 {
			runtime.GC()
			runtime.ReadMemStats(&now)
			most = max(most, now.HeapAlloc)
		}
	}
	assert.Equal(t, 100_000, inputs)
	assert.Less(t, most, before.HeapAlloc+8<<20)
}

func BenchmarkRead(b *testing.B) {
	const packets = 100_000
	file := write(b, section(0), steady(packets))
	b.ReportAllocs()
	var in event.Input
	for b.Loop() {
		r := recording.NewReader(bytes.NewReader(file))
		n := 0
		for r.Next(&in) == nil {
			n++
		}
		if n != packets {
			b.Fatalf("read %d packets", n)
		}
	}
	b.ReportMetric(float64(packets)*float64(b.N)/b.Elapsed().Seconds(), "packets/s")
}

func BenchmarkWrite(b *testing.B) {
	inputs := steady(1000)
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		w, err := recording.NewWriter(io.Discard, section(0))
		if err != nil {
			b.Fatal(err)
		}
		for i := range inputs {
			if err := w.Write(&inputs[i]); err != nil {
				b.Fatal(err)
			}
		}
		if err := w.Flush(); err != nil {
			b.Fatal(err)
		}
		n += len(inputs)
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "packets/s")
}
