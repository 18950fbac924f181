package port

import (
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// taken waits for the next batch; nil at the end.
func taken(s *Sequencer, r Consumer) *Batch {
	s.Wait(r)
	b, _ := s.Take(r)
	return b
}

// Both readers get every input, in one order, with dates that never decrease.
func TestOneOrderForAll(t *testing.T) {
	var clock atomic.Int64
	s := NewSequencer(func() int64 { return clock.Add(333) }, unit.Time(5*unit.Second), 100)
	var writers, takers sync.WaitGroup
	for w := range 4 {
		writers.Go(func() {
			for i := range 2000 {
				s.Put(uint8(w+1), event.InputBytes, []byte{byte(i), byte(i >> 8)})
			}
		})
	}
	var got [readers][]event.Input
	for r := range readers {
		takers.Go(func() {
			next := int64(100)
			for b := taken(s, r); b != nil; b = taken(s, r) {
				assert.Equal(t, next, b.First)
				next += int64(b.Len())
				for i := range b.Len() {
					got[r] = append(got[r], b.Input(i))
				}
			}
		})
	}
	writers.Wait()
	s.Close(event.InputEnd)
	takers.Wait()
	require.Equal(t, got[Recorder], got[Judge])
	require.Len(t, got[Judge], 8001)
	last := unit.Time(5 * unit.Second)
	seen := map[uint8]int{}
	for _, in := range got[Judge][:8000] {
		require.GreaterOrEqual(t, in.At, last)
		require.Equal(t, in.At.Truncate(unit.Microsecond), in.At)
		require.Equal(t, seen[in.Tap], int(in.Data[0])|int(in.Data[1])<<8, "each tap's order is kept")
		seen[in.Tap]++
		last = in.At
	}
}

func TestWhatFindsNoRoomIsCountedAndPutNeverWaits(t *testing.T) {
	s := NewSequencer(func() int64 { return 0 }, 0, 0)
	big := []byte(strings.Repeat("x", 1<<20))
	for range 40 { // nobody takes
		s.Put(1, event.InputBytes, big)
	}
	b := taken(s, Judge)
	require.Equal(t, 31, b.Len())
	s.Put(1, event.InputBytes, []byte("y"))
	b = taken(s, Judge)
	require.Equal(t, event.InputOverrun, b.Input(0).Kind)
	assert.Equal(t, "9437184", string(b.Input(0).Data))
	assert.Equal(t, "y", string(b.Input(1).Data))
}

func TestADeafRecorderHearsAgainOnlyWhenAllAreEven(t *testing.T) {
	s := NewSequencer(func() int64 { return 0 }, 0, 0)
	s.Put(1, event.InputBytes, []byte("a"))
	s.StopRecorder(event.InputRecordingGap, []byte("begin"))
	s.StopRecorder(event.InputRecordingGap, []byte("again"))
	s.Put(1, event.InputBytes, []byte("b"))
	end := func(unheard int64) []byte {
		assert.Equal(t, int64(1), unheard)
		return []byte("end")
	}
	assert.False(t, s.ResumeRecorder(event.InputRecordingGap, 2, end), "the judge is behind")
	taken(s, Judge)
	taken(s, Judge)
	assert.False(t, s.ResumeRecorder(event.InputRecordingGap, 1, end), "the recorder has not written all")
	assert.True(t, s.ResumeRecorder(event.InputRecordingGap, 2, end))
	s.Put(1, event.InputBytes, []byte("c"))
	s.Close(0)
	var recorded string
	for b := taken(s, Recorder); b != nil; b = taken(s, Recorder) {
		for i := range b.Len() {
			recorded += string(b.Input(i).Data) + " "
		}
	}
	assert.Equal(t, "a begin end c ", recorded)
}

// Who takes is told at once whether there is a batch, whether there can be one later,
// or whether it is the end.
func TestTakeNeverWaits(t *testing.T) {
	s := NewSequencer(func() int64 { return 0 }, 0, 0)
	takes := func(r Consumer) string {
		b, ended := s.Take(r)
		switch {
		case b != nil:
			require.False(t, ended)
			return string(b.Input(0).Data)
		case ended:
			return "end"
		}
		return "nothing yet"
	}
	assert.Equal(t, "nothing yet", takes(Judge))
	s.Put(1, event.InputBytes, []byte("a"))
	assert.Equal(t, "a", takes(Judge))
	assert.Equal(t, "nothing yet", takes(Judge))
	s.StopRecorder(event.InputRecordingGap, []byte("gap"))
	s.Put(1, event.InputBytes, []byte("b"))
	s.Close(0)
	assert.Equal(t, "gap", takes(Judge))
	assert.Equal(t, "b", takes(Judge))
	assert.Equal(t, "end", takes(Judge))
	assert.Equal(t, "a", takes(Recorder))
	assert.Equal(t, "gap", takes(Recorder))
	assert.Equal(t, "end", takes(Recorder))
	s.Wait(Judge) // says so at once
	s.Wait(Recorder)
}
