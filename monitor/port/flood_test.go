package port

import (
	"runtime"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// A port that gives 1.3 MB/s for 35 s, in reads of a pseudo-terminal, to a judge and a
// recorder that take nothing: what waits stays bounded, and what found no room is said with
// its number once there is room. Memory is that of the queue, twice at most, as it grows.
func TestAFloodIsBoundedAndItsGapIsSaid(t *testing.T) {
	const rate = 1_300_000
	for read, seconds := range map[int]int64{1: 2, 16: 35, 1000: 35, 4095: 35} { // single bytes fill it in one
		var now int64
		s := NewSequencer(func() int64 { return now }, 0, 0)
		block := make([]byte, read)
		before := heap()
		var put, kept int64
		for put < rate*seconds {
			now = put * int64(unit.Second) / rate
			if _, room := s.Put(1, event.InputBytes, block); room {
				kept += int64(read)
			}
			put += int64(read)
		}
		assert.Less(t, heap()-before, int64(3*maxWaiting), read)
		assert.LessOrEqual(t, s.size[Judge], maxWaiting)
		_, b := s.Put(1, event.InputBytes, block)
		assert.False(t, b, "no room")
		put += int64(read)

		next, heard, lost := int64(0), int64(0), int64(0)
		take := func(b *Batch) {
			assert.Equal(t, next, b.First, "no number is left out")
			next += int64(b.Len())
			for i := range b.Len() {
				switch in := b.Input(i); in.Kind {
				case event.InputBytes:
					heard += int64(len(in.Data))
				case event.InputOverrun:
					n, err := strconv.ParseInt(string(in.Data), 10, 64)
					require.NoError(t, err)
					lost += n
				}
			}
		}
		b0, _ := s.Take(Judge)
		take(b0)
		_, room := s.Put(1, event.InputBytes, block)
		require.True(t, room, "there is room again")
		put += int64(read)
		s.Close(0)
		for b := taken(s, Judge); b != nil; b = taken(s, Judge) {
			take(b)
		}
		assert.Equal(t, put, heard+lost, "each byte was heard, or its loss is said")
		assert.Equal(t, kept+int64(read), heard)
		assert.Zero(t, s.size[Judge])
	}
}

// A recorder that takes less than comes in is found out, and given no more once told so.
func TestARecorderThatIsTooSlow(t *testing.T) {
	s := NewSequencer(func() int64 { return 0 }, 0, 0)
	block := make([]byte, 1<<20)
	for n := range 40 {
		assert.Equal(t, n*(len(block)+inputHead) > maxWaiting, s.RecorderBehind(), n)
		_, room := s.Put(1, event.InputBytes, block)
		require.True(t, room, "the judge keeps up: it hears all")
		taken(s, Judge)
	}
	s.StopRecorder(event.InputRecordingGap, []byte("begin"))
	assert.False(t, s.RecorderBehind(), "it was told")
	size := s.size[Recorder]
	s.Put(1, event.InputBytes, block)
	assert.Equal(t, size, s.size[Recorder])
	s.Close(0)
	for taken(s, Recorder) != nil {
		continue
	}
	assert.Zero(t, s.size[Recorder])
}

// heap is what is in use, bytes.
func heap() int64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}
