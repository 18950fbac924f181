package session_test

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/record"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/session"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

const day = 24 * 3600 * unit.Second

// writeDay records a day of one bus at 7 ms, one read a frame: a stick that is
// stirred now and then, a switch each minute, a lost frame here and there.
func writeDay(b *testing.B, path string) (frames int) {
	b.Helper()
	f, err := os.Create(path)
	require.NoError(b, err)
	taps := []event.TapName{{Name: "main", Kind: "bus"}}
	w, err := recording.NewWriter(f, recording.Section{Base: 1_700_000_000_000_000_000, Taps: taps, Build: "bench"})
	require.NoError(b, err)
	put := func(in event.Input) {
		require.NoError(b, w.Write(&in))
		if w.Held() > 1<<20 {
			require.NoError(b, w.Flush())
		}
	}
	start, err := json.Marshal(event.Start{Build: "bench", WallNS: 1_700_000_000_000_000_000, Taps: taps})
	require.NoError(b, err)
	put(event.Input{Kind: event.InputBegin, Data: start})
	put(event.Input{Kind: event.InputTapUp, Tap: 1, Data: []byte(`{"port":"bench"}`)})
	var frame bus.Frame
	for i := range frame.Counts {
		frame.Counts[i] = 992
	}
	var raw [servobus.FrameLen]byte
	beat := unit.Second
	for at := 7 * unit.Millisecond; at < day; at += 7 * unit.Millisecond {
		for ; beat <= at; beat += unit.Second {
			put(event.Input{At: unit.Time(beat), Kind: event.InputBeat, Data: binary.BigEndian.AppendUint64(nil, 1_700_000_000_000_000_000+uint64(beat))})
		}
		frames++
		if frames%1000 < 300 {
			frame.Counts[0] = uint32(992 + frames%97)
		}
		frame.Counts[6] = []uint32{255, 719, 1215, 1679}[at/unit.Minute%4] // the four places of aid
		frame.Flags = 0
		if frames%997 == 0 {
			frame.Flags = bus.Lost
		}
		servobus.Encode(&frame, raw[:])
		put(event.Input{At: unit.Time(at), Tap: 1, Kind: event.InputBytes, Data: raw[:]})
	}
	put(event.Input{At: unit.Time(day), Kind: event.InputEnd})
	require.NoError(b, w.Flush())
	require.NoError(b, f.Close())
	return frames
}

// BenchmarkDay replays a day and shows what each stage adds: reading the
// recording, decoding (framer, frame, wire time), all watchers, and what is gathered for the
// record.
func BenchmarkDay(b *testing.B) {
	path := filepath.Join(b.TempDir(), "day.pcapng")
	frames := writeDay(b, path)
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(b, err)
	events := 0
	stages := []struct {
		name string
		step func() func(*event.Input)
	}{
		{"1-read", func() func(*event.Input) { return func(*event.Input) {} }},
		{"2-read-decode", func() func(*event.Input) {
			decoder, see := engine.NewBus(servobus.Protocol()), func(*event.Observation) {}
			return func(in *event.Input) { decoder.Step(in, see) }
		}},
		{"3-read-decode-judge", func() func(*event.Input) {
			events = 0
			return engine.New(s, func(*event.Event, int64) { events++ }).Step
		}},
		{"4-read-decode-judge-gather", func() func(*event.Input) {
			g := record.NewBoundedGathering(s)
			e := engine.New(s, g.OnEvent)
			return func(in *event.Input) {
				e.Step(in)
				g.Judged(in, e)
			}
		}},
	}
	for _, stage := range stages {
		b.Run(stage.name, func(b *testing.B) {
			for b.Loop() {
				f, err := os.Open(path)
				require.NoError(b, err)
				r, step, in := recording.NewReader(f), stage.step(), new(event.Input)
				began := time.Now()
				for err = r.Next(in); err == nil; err = r.Next(in) {
					step(in)
				}
				require.True(b, errors.Is(err, io.EOF), "%v", err)
				b.ReportMetric(float64(time.Since(began).Nanoseconds())/float64(frames), "ns/frame")
				require.NoError(b, f.Close())
			}
		})
	}
	require.Greater(b, events, 8_000)
	b.Run("5-whole-replay", func(b *testing.B) {
		for b.Loop() {
			f, err := os.Open(path)
			require.NoError(b, err)
			r := session.NewReplay(f, s, func(*event.Event, int64) {})
			require.NoError(b, engine.Run(r.Source, r.Engine, nil))
			require.Empty(b, r.Close())
		}
	})
}
