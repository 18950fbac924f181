package engine_test

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/pulse"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// stirredLeads is some time of a bus at 7 ms and of eight leads at 50 Hz. For three of ten
// seconds four sticks are stirred, and else they tremble by a count. The leads follow
// the sticks, 50 ms late, each as another mix of two of them, or none.
func stirredLeads(b *testing.B, lasts unit.Duration, follow bool) (list []event.Input, frames int) {
	const ms = unit.Millisecond
	luck := rand.New(rand.NewPCG(1, 2))
	put := func(at unit.Duration, tap uint8, kind event.InputKind, data []byte) {
		list = append(list, event.Input{At: unit.Time(at).Truncate(unit.Microsecond), Tap: tap, Kind: kind, Data: bytes.Clone(data)})
	}
	start, err := json.Marshal(event.Start{Build: "bench", Taps: []event.TapName{{Name: "a", Kind: "bus"}, {Name: "b", Kind: "pulses"}}})
	require.NoError(b, err)
	put(0, 0, event.InputBegin, start)
	put(0, 1, event.InputTapUp, []byte(`{"port":"a"}`))
	put(0, 2, event.InputTapUp, []byte(`{"port":"b"}`))
	put(0, 2, event.InputBytes, pulse.AppendInfo(nil, &pulse.BoardInfo{Name: "ref-8", Tick: 500, Outputs: 8}))
	stick := func(ch int, at unit.Duration) float64 { // counts from neutral
		if at < 0 || at/unit.Second%10 >= 3 {
			return float64(luck.IntN(2))
		}
		s := float64(at) / 1e9
		return 330*math.Sin(2*math.Pi*(0.31+0.13*float64(ch))*s+float64(ch)) + 300*math.Sin(2*math.Pi*(0.77+0.1*float64(ch))*s)
	}
	var frame bus.Frame
	for i := range frame.Counts[:servobus.Protocol().Channels] {
		frame.Counts[i] = 992
	}
	var raw [servobus.FrameLen]byte
	var told [8][4]float64 // the sticks of the latest frames
	beat, pulses, seq := unit.Second, 20*ms, uint16(0)
	for at := 7 * ms; at < lasts; at += 7 * ms {
		for ; pulses < at; pulses += 20*ms + 37*unit.Microsecond {
			for out := range 8 {
				rise := pulses + unit.Duration(out)*2500*unit.Microsecond
				width := 3000 + luck.IntN(2) // of 500 ns
				if follow {
					x := &told[(frames+1)%len(told)] // 50 ms before
					width += int(1.25 * (0.7*x[out%4] - 0.3*x[(out+1)%4]))
				}
				line := pulse.AppendPulse(nil, seq, out+1, uint32(rise/500), uint32(width))
				seq++
				put(rise+unit.Duration(luck.IntN(900))*unit.Microsecond, 2, event.InputBytes, line)
			}
		}
		for ; beat <= at; beat += unit.Second {
			put(beat, 2, event.InputBytes, pulse.AppendInfo(nil, &pulse.BoardInfo{Name: "ref-8", Tick: 500, Outputs: 8}))
			put(beat, 0, event.InputBeat, binary.BigEndian.AppendUint64(nil, 1_700_000_000_000_000_000+uint64(beat)))
		}
		frames++
		for ch := range 4 {
			told[frames%len(told)][ch] = stick(ch, at)
			frame.Counts[ch] = uint32(992 + told[frames%len(told)][ch])
		}
		servobus.Encode(&frame, raw[:])
		put(at, 1, event.InputBytes, raw[:])
	}
	slices.SortStableFunc(list, func(a, b event.Input) int { return cmp.Compare(a.At, b.At) })
	return list, frames
}

// BenchmarkJudgeLeads judges ten minutes of a bus and eight leads, out of memory.
func BenchmarkJudgeLeads(b *testing.B) {
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(b, err)
	for name, follow := range map[string]bool{"follow": true, "do-not-follow": false} {
		b.Run(name, func(b *testing.B) {
			inputs, frames := stirredLeads(b, 10*unit.Minute, follow)
			for b.Loop() {
				e := engine.New(s, func(*event.Event, int64) {})
				for i := range inputs {
					e.Step(&inputs[i])
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*frames), "ns/frame")
		})
	}
}
