package recording_test

import (
	"bytes"
	"encoding/binary"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/pulse"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// hour is an hour of a bus, read in one or two pieces, of which a stick is stirred for a tenth of the time;
// with leads, eight of them.
func hour(leads bool) []event.Input {
	return onBench(60*unit.Minute, leads, true, still, func(at unit.Duration, frame *bus.Frame) {
		if at/unit.Second%10 == 0 {
			frame.Counts[1] = uint32(992 + at/unit.Millisecond%900)
		}
	})
}

// still is an output that follows nothing.
func still(unit.Duration, int) uint32 { return 0 }

// onBench is what comes of a bus at 7 ms whose sticks tremble by a count, with dates that jitter; with
// leads, of eight of them at 50 Hz too, in lines of a capture board. follow is by how many ticks of the
// board an output is longer; stir moves more of a frame; pieces has half of the frames come in two reads.
func onBench(lasts unit.Duration, leads, pieces bool, follow func(at unit.Duration, out int) uint32,
	stir func(at unit.Duration, frame *bus.Frame),
) (list []event.Input) {
	luck := rand.New(rand.NewPCG(1, 2))
	put := func(at unit.Duration, tap uint8, kind event.InputKind, data []byte) {
		date := unit.Time(at).Truncate(unit.Microsecond)
		if n := len(list); n > 0 {
			date = max(date, list[n-1].At)
		}
		list = append(list, event.Input{At: date, Tap: tap, Kind: kind, Data: bytes.Clone(data)})
	}
	put(0, 0, event.InputBegin, []byte("{}"))
	put(0, 1, event.InputTapUp, []byte(`{"port":"a"}`))
	if leads {
		put(0, 2, event.InputTapUp, []byte(`{"port":"b"}`))
	}
	var frame bus.Frame
	var raw [servobus.FrameLen]byte
	beat, pulses, seq := unit.Second, 20*unit.Millisecond, uint16(0)
	for at := 7 * unit.Millisecond; at < lasts; at += 7 * unit.Millisecond {
		for ; leads && pulses < at; pulses += 20 * unit.Millisecond {
			for out := range 8 {
				rise := pulses + unit.Duration(out)*2500*unit.Microsecond
				line := pulse.AppendPulse(nil, seq, out+1, uint32(rise/unit.Microsecond*16), uint32(24_000+luck.IntN(6))+follow(pulses, out))
				seq++
				put(rise+unit.Duration(luck.IntN(900))*unit.Microsecond, 2, event.InputBytes, line)
			}
		}
		for ; beat <= at; beat += unit.Second {
			put(beat, 0, event.InputBeat, binary.BigEndian.AppendUint64(nil, uint64(base)+uint64(beat)))
		}
		for i := range 4 {
			frame.Counts[i] = uint32(992 + luck.IntN(2))
		}
		stir(at, &frame)
		servobus.Encode(&frame, raw[:])
		date, cut := at+unit.Duration(luck.IntN(300))*unit.Microsecond, len(raw)
		if pieces && luck.IntN(2) == 0 {
			cut = 1 + luck.IntN(len(raw)-1)
		}
		put(date, 1, event.InputBytes, raw[:cut])
		if cut < len(raw) {
			put(date+unit.Duration(1000+luck.IntN(300))*unit.Microsecond, 1, event.InputBytes, raw[cut:])
		}
	}
	return list
}

// BenchmarkPack shows what a day of closed segments takes, and what packing costs.
func BenchmarkPack(b *testing.B) {
	for name, leads := range map[string]bool{"bus": false, "bus-and-8-leads": true} {
		b.Run(name, func(b *testing.B) {
			inputs := hour(leads)
			plain := write(b, segment(1, 0), inputs)
			d := filestest.New()
			for b.Loop() {
				d = filestest.New()
				d.Put("recording-000001.pcapng", plain)
				require.NoError(b, recording.Pack(b.Context(), d, 1, nil))
			}
			b.ReportMetric(24*float64(len(plain))/1e9, "GB/day-open")
			b.ReportMetric(24*float64(len(d.Content("recording-000001.pcapng.zst")))/1e9, "GB/day-packed")
			b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms/hour")
			got, r := readAll(b, d)
			require.Len(b, got, len(inputs))
			require.Zero(b, r.DamageCount())
		})
	}
}

// BenchmarkReadPacked shows what reading an hour of closed segments costs.
func BenchmarkReadPacked(b *testing.B) {
	for name, leads := range map[string]bool{"bus": false, "bus-and-8-leads": true} {
		b.Run(name, func(b *testing.B) {
			inputs := hour(leads)
			d := filestest.New()
			d.Put("recording-000001.pcapng", write(b, segment(1, 0), inputs))
			require.NoError(b, recording.Pack(b.Context(), d, 1, nil))
			for b.Loop() {
				r, err := recording.OpenSegments(d)
				require.NoError(b, err)
				var in event.Input
				n := 0
				for r.Next(&in) == nil {
					n++
				}
				require.Equal(b, len(inputs), n)
				require.NoError(b, r.Close())
			}
			b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N), "ms/hour")
		})
	}
}
