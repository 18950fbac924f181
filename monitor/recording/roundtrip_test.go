package recording_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

func TestEveryKindComesBack(t *testing.T) {
	inputs := every(t)
	seen := map[event.InputKind]bool{}
	for _, in := range inputs {
		seen[in.Kind] = true
	}
	for k, word := range event.InputNames {
		if word != "" {
			require.True(t, seen[event.InputKind(k)], "the list of inputs lacks %s", word)
		}
	}
	file := write(t, section(0), inputs)
	got, r := read(t, file)
	assert.Equal(t, inputs, got)
	assert.Empty(t, r.Damages())
	end, torn := r.Tail()
	assert.Equal(t, int64(len(file)), end)
	assert.False(t, torn)
}

func TestReadSizesDoNotMatter(t *testing.T) {
	inputs := every(t)
	file := write(t, section(0), inputs)
	for name, src := range map[string]io.Reader{
		"one byte": iotest.OneByteReader(bytes.NewReader(file)),
		"half":     iotest.HalfReader(bytes.NewReader(file)),
		"data+EOF": iotest.DataErrReader(bytes.NewReader(file)),
	} {
		assert.Equal(t, inputs, all(t, recording.NewReader(src)), name)
	}
}

func TestSectionsRunOn(t *testing.T) {
	inputs := every(t)
	later := section(8)
	later.Base += 40_000 // the wall clock was set between the runs
	file := append(write(t, section(0), inputs[:8]), write(t, later, inputs[8:])...)
	got, r := read(t, file)
	assert.Equal(t, inputs, got)
	assert.Zero(t, r.DamageCount())
	assert.Equal(t, later.Base, r.Position().Base)
}

func TestSegmentBeginsAtAnyNumber(t *testing.T) {
	inputs := every(t)
	got, r := read(t, write(t, section(1<<40), inputs))
	assert.Equal(t, inputs, got)
	assert.Zero(t, r.DamageCount())
	assert.Equal(t, int64(1<<40)+int64(len(inputs)), r.Position().Input)
}

func TestInputsMissingBetweenSections(t *testing.T) {
	inputs := every(t)
	file := append(write(t, section(0), inputs[:8]), write(t, section(13), inputs[8:])...)
	got, r := read(t, file)
	require.Len(t, got, len(inputs)+1)
	assert.Equal(t, int64(5), gapOf(t, got[8]).Inputs)
	assert.Equal(t, inputs[8:], got[9:])
	assert.Equal(t, int64(1), r.DamageCount())
}

// A single input behind a hole is believed only because its section's header
// foretells its number.
func TestInputsMissingBeforeAShortSection(t *testing.T) {
	inputs := every(t)[:5]
	file := append(write(t, section(0), inputs[:4]), write(t, section(9), inputs[4:])...)
	got, r := read(t, file)
	require.Len(t, got, 6)
	assert.Equal(t, int64(5), gapOf(t, got[4]).Inputs)
	assert.Equal(t, inputs[4], got[5])
	assert.Equal(t, int64(10), r.Position().Input)
}

func TestFullDiskAtABorder(t *testing.T) {
	inputs := steady(5)
	for n, end := range borders(t, section(0), inputs) {
		w, err := recording.NewWriter(&fullDisk{room: int(end)}, section(0))
		require.NoError(t, err)
		for i := range inputs {
			require.NoError(t, w.Write(&inputs[i]))
		}
		if n == len(inputs) {
			require.NoError(t, w.Flush())
		} else {
			require.ErrorIs(t, w.Flush(), errFull)
		}
		assert.Equal(t, end, w.Good())
		assert.Equal(t, int64(n), w.GoodInputs())
	}
}

func gapOf(t testing.TB, in event.Input) event.RecordingGapInput {
	require.Equal(t, event.InputRecordingGap, in.Kind)
	var g event.RecordingGapInput
	require.NoError(t, json.Unmarshal(in.Data, &g))
	require.True(t, g.Ended)
	require.NotEmpty(t, g.Why)
	require.Zero(t, g.Seq)
	return g
}

func TestWriterRefuses(t *testing.T) {
	const us = unit.Time(unit.Microsecond)
	for name, c := range map[string]struct {
		in   event.Input
		want string
	}{
		"no kind":       {event.Input{At: us}, "got kind 0"},
		"kind to come":  {event.Input{At: us, Kind: event.InputKind(len(event.InputNames))}, "which has no word"},
		"date back":     {event.Input{At: 0, Kind: event.InputEnd}, "want 1000 or later"},
		"half a µs":     {event.Input{At: us + 500, Kind: event.InputEnd}, "want whole microseconds"},
		"far future":    {event.Input{At: math.MaxInt64 - math.MaxInt64%us, Kind: event.InputEnd}, "from 1970 to 2106"},
		"after 2106":    {event.Input{At: 1 << 62 / us * us, Kind: event.InputEnd}, "from 1970 to 2106"},
		"tap beyond":    {event.Input{At: us, Tap: 3, Kind: event.InputBytes}, "got tap 3, want 0 to 2"},
		"too much data": {event.Input{At: us, Kind: event.InputMark, Data: make([]byte, recording.MaxData+1)}, "want at most 262144"},
	} {
		var out bytes.Buffer
		w, err := recording.NewWriter(&out, section(0))
		require.NoError(t, err)
		good := event.Input{At: us, Kind: event.InputMark, Data: []byte("x")}
		require.NoError(t, w.Write(&good))
		require.ErrorContains(t, w.Write(&c.in), c.want, name)
		require.NoError(t, w.Write(&good), name)
		require.NoError(t, w.Flush())
		got, _ := read(t, out.Bytes())
		assert.Equal(t, []event.Input{good, good}, got, name)
	}
}

func TestNewWriterRefuses(t *testing.T) {
	for want, s := range map[string]recording.Section{
		"first input number -1":  {First: -1},
		"got 256 taps":           {Taps: make([]event.TapName, 256)},
		"tap 1: got a name of 0": {Taps: []event.TapName{{}}},
	} {
		_, err := recording.NewWriter(io.Discard, s)
		assert.ErrorContains(t, err, want)
	}
}

func TestLargestDataComesBack(t *testing.T) {
	inputs := []event.Input{
		{Kind: event.InputMark, Data: bytes.Repeat([]byte("x"), recording.MaxData)},
		{Tap: 2, Kind: event.InputEdges, Data: bytes.Repeat([]byte{0}, recording.MaxData)},
	}
	got, _ := read(t, write(t, section(0), inputs))
	assert.Equal(t, inputs, got)
}

// A full disk takes any part of a flush. What was taken is cut to Good and the
// flush tried again, or a new section begun with GoodInputs: both must read as
// one whole recording.
func TestFullDisk(t *testing.T) {
	inputs := every(t)
	whole := write(t, section(0), inputs)
	for room := 0; room < len(whole); room += 7 {
		disk := &fullDisk{room: room}
		w, err := recording.NewWriter(disk, section(0))
		require.NoError(t, err)
		for i := range inputs {
			require.NoError(t, w.Write(&inputs[i]))
		}
		require.ErrorIs(t, w.Flush(), errFull)
		require.LessOrEqual(t, w.Good(), int64(disk.Len()))
		disk.Truncate(int(w.Good()))
		short := bytes.Clone(disk.Bytes())

		disk.room = math.MaxInt
		require.NoError(t, w.Flush())
		require.Equal(t, whole, disk.Bytes(), "flushed again after %d bytes", room)
		require.Equal(t, int64(len(whole)), w.Good())

		done := goodInputs(t, room, inputs)
		short = append(short, write(t, section(done), inputs[done:])...)
		got, r := read(t, short)
		require.Equal(t, inputs, got, "new section after %d bytes", room)
		require.Zero(t, r.DamageCount())
	}
}

func goodInputs(t *testing.T, room int, inputs []event.Input) int64 {
	w, err := recording.NewWriter(&fullDisk{room: room}, section(0))
	require.NoError(t, err)
	for i := range inputs {
		require.NoError(t, w.Write(&inputs[i]))
	}
	require.Error(t, w.Flush())
	return w.GoodInputs()
}

func TestMarksAgree(t *testing.T) {
	inputs := every(t)
	front := write(t, section(0), inputs[:6])
	w, err := recording.NewWriter(io.Discard, section(6))
	require.NoError(t, err)
	file := append(bytes.Clone(front), write(t, section(6), inputs[6:])...)
	r := recording.NewReader(bytes.NewReader(file))
	for i := range inputs {
		var in event.Input
		require.NoError(t, r.Next(&in))
		if i < 6 {
			continue
		}
		require.NoError(t, w.Write(&inputs[i]))
		want := w.Position(int64(len(front)))
		require.Equal(t, want, r.Position(), "after input %d", i)

		var stored recording.Position
		require.NoError(t, json.Unmarshal(asJSON(t, want), &stored))
		at, err := recording.NewReaderAt(bytes.NewReader(file), stored)
		require.NoError(t, err)
		rest, err := drain(at)
		require.ErrorIs(t, err, io.EOF)
		require.Equal(t, len(inputs)-i-1, len(rest), fmt.Sprint("after input ", i))
		if len(rest) > 0 {
			require.Equal(t, inputs[i+1:], rest)
		}
		require.Zero(t, at.DamageCount())
	}
}

func TestPositionOfAnotherFile(t *testing.T) {
	file := write(t, section(0), every(t))
	for want, p := range map[string]recording.Position{
		"the file ends at":           {Offset: 1 << 30},
		"got section -1":             {Section: -1},
		"got section 9 and offset 8": {Section: 9, Offset: 8},
		"got input -1":               {Input: -1},
		"got tap 256 on interface 1": {Taps: []int{0, 256}},
	} {
		_, err := recording.NewReaderAt(bytes.NewReader(file), p)
		assert.ErrorContains(t, err, want)
	}
	ends := borders(t, section(0), every(t))
	p := recording.Position{Offset: ends[4] + 4, Base: base, Taps: []int{0, 1, 1, 2}, Input: 4}
	r, err := recording.NewReaderAt(bytes.NewReader(file), p)
	require.NoError(t, err)
	all(t, r)
	assert.NotZero(t, r.DamageCount(), "a place inside a block shows")
}

func TestReadErrorIsNoEnd(t *testing.T) {
	file := write(t, section(0), every(t))
	trouble := fmt.Errorf("input/output error")
	r := recording.NewReader(io.MultiReader(bytes.NewReader(file[:len(file)-9]), iotest.ErrReader(trouble)))
	_, err := drain(r)
	require.ErrorIs(t, err, trouble)
	require.NotErrorIs(t, err, io.EOF)
	var in event.Input
	require.ErrorIs(t, r.Next(&in), trouble)
}
