package recording_test

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// base is no whole number of microseconds, as a clock gives it.
const base int64 = 1_777_713_243_345_678_901

var taps = []event.TapName{{Name: "main", Kind: "bus"}, {Name: "leads", Kind: "pulses"}}

func section(first int64) recording.Section {
	return recording.Section{Base: base, Taps: taps, First: first, Build: "benchproof test"}
}

func asJSON(t testing.TB, v any) []byte {
	b, err := json.Marshal(v)
	require.NoError(t, err)
	return b
}

func beat(wall int64) []byte { return binary.BigEndian.AppendUint64(nil, uint64(wall)) }

// every is an input of every kind, and the odd ones among them.
func every(t testing.TB) []event.Input {
	start := asJSON(t, event.Start{Build: "benchproof test", WallNS: base, Taps: taps})
	port := asJSON(t, event.Port{Port: "/dev/serial/by-id/adapter", Settings: "100000 8E2", Latency: "1 ms"})
	at := func(ms unit.Duration) unit.Time { return unit.Time(ms * unit.Millisecond) }
	return []event.Input{
		{At: 0, Kind: event.InputBegin, Data: start},
		{At: unit.Time(7 * unit.Microsecond), Tap: 1, Kind: event.InputBytes, Data: []byte("before tap-up")},
		{At: at(1), Tap: 1, Kind: event.InputTapUp, Data: port},
		{At: at(1), Tap: 2, Kind: event.InputTapUp, Data: []byte("no port")},
		{At: at(3), Tap: 1, Kind: event.InputBytes, Data: bytes.Repeat([]byte{0x0F, 0, 0xFF}, 9)},
		{At: at(3), Tap: 1, Kind: event.InputBytes, Data: []byte{}},
		{At: at(4), Tap: 1, Kind: event.InputBadBytes, Data: []byte{0x00}},
		{At: at(5), Tap: 2, Kind: event.InputEdges, Data: []byte{1, 2, 3, 4, 5}},
		{At: at(6), Tap: 1, Kind: event.InputOverrun, Data: []byte("12")},
		{At: at(1000), Kind: event.InputBeat, Data: beat(base + 1_000_000_000)},
		{At: at(1001), Kind: event.InputMark, Data: []byte("end: I changed\nsomething \xff, Größe & <b>")},
		{At: at(1002), Kind: event.InputDrillStep, Data: []byte(`{"step":2}`)},
		{At: at(1003), Kind: event.InputReopen, Data: []byte("everything")},
		{At: at(1004), Tap: 1, Kind: event.InputTapDown, Data: []byte("port closed")},
		{At: at(1005), Tap: 1, Kind: event.InputTapUp, Data: port},
		{At: at(1005), Tap: 1, Kind: event.InputBytes, Data: []byte{6, 0, 0, 0, 72, 0, 0, 0}},
		{At: at(1006), Kind: event.InputRecordingGap, Data: asJSON(t, event.RecordingGapInput{Why: "disk full"})},
		{At: at(1007), Kind: event.InputMark, Data: []byte(strings.Repeat("ü", 4000))},
		{At: at(1007), Kind: event.InputPapers, Data: asJSON(t, event.Paper{Entry: "bound", By: "Ann", Date: "2026-05-02"})},
		{At: at(1007), Kind: event.InputStrike, Data: asJSON(t, event.StrikeData{MarkNS: 1, Text: "up"})},
		{At: at(1007), Kind: event.InputRecordingHurt, Data: asJSON(t, event.RecordingHurtData{Part: "recording-000001.pcapng", Why: "it is gone"})},
		{At: at(1008), Kind: event.InputResume, Data: start},
		{At: at(1009), Kind: event.InputEnd, Data: []byte{}},
	}
}

// write renders inputs as one section.
func write(t testing.TB, s recording.Section, inputs []event.Input) []byte {
	var out bytes.Buffer
	w, err := recording.NewWriter(&out, s)
	require.NoError(t, err)
	for i := range inputs {
		require.NoError(t, w.Write(&inputs[i]))
	}
	require.NoError(t, w.Flush())
	return out.Bytes()
}

// borders are the ends of the blocks that hold the inputs, the first being the
// end of the section's head.
func borders(t testing.TB, s recording.Section, inputs []event.Input) []int64 {
	w, err := recording.NewWriter(io.Discard, s)
	require.NoError(t, err)
	ends := []int64{w.Position(0).Offset}
	for i := range inputs {
		require.NoError(t, w.Write(&inputs[i]))
		ends = append(ends, w.Position(0).Offset)
	}
	return ends
}

// all reads to the end.
func all(t testing.TB, r *recording.Reader) []event.Input {
	list, err := drain(r)
	require.ErrorIs(t, err, io.EOF)
	return list
}

func drain(r *recording.Reader) ([]event.Input, error) {
	var list []event.Input
	for {
		var in event.Input
		if err := r.Next(&in); err != nil {
			return list, err
		}
		in.Data = slices.Clone(in.Data)
		if in.Data == nil {
			in.Data = []byte{}
		}
		list = append(list, in)
	}
}

func read(t testing.TB, file []byte) ([]event.Input, *recording.Reader) {
	r := recording.NewReader(bytes.NewReader(file))
	return all(t, r), r
}

// steady is n packets of a tap.
func steady(n int) []event.Input {
	list := make([]event.Input, n)
	for i := range list {
		data := bytes.Repeat([]byte{byte(i), byte(i >> 8), 0x0F}, 8)
		list[i] = event.Input{At: unit.Time(unit.Duration(i) * 7 * unit.Millisecond), Tap: 1, Kind: event.InputBytes, Data: data}
	}
	return list
}

// fullDisk takes a number of bytes and no more.
type fullDisk struct {
	bytes.Buffer
	room int
}

var errFull = errors.New("no space left on device")

func (d *fullDisk) Write(p []byte) (int, error) {
	n := min(len(p), d.room)
	d.Buffer.Write(p[:n])
	d.room -= n
	if n < len(p) {
		return n, errFull
	}
	return n, nil
}
