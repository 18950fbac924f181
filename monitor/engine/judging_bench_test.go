package engine_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/engine"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// bench judges frames that come every 7 ms on each of some buses, one read a frame.
type bench struct {
	judge *engine.Engine
	raw   [][servobus.FrameLen]byte // what a bus carries, over and over
	buses uint8
	at    unit.Time
	n     int
	in    event.Input // that is judged, made once
}

// newBench has a bus carry 1000 frames, which put writes.
func newBench(b *testing.B, buses int, put func(frame *bus.Frame, i int)) *bench {
	s, err := sheet.Read("starter", sheet.Starter())
	require.NoError(b, err)
	x := &bench{judge: engine.New(s, func(*event.Event, int64) {}), raw: make([][servobus.FrameLen]byte, 1000), buses: uint8(buses)}
	taps := make([]event.TapName, buses)
	for i := range taps {
		taps[i] = event.TapName{Name: string(rune('a' + i)), Kind: "bus"}
	}
	start, err := json.Marshal(event.Start{Build: "bench", Taps: taps})
	require.NoError(b, err)
	x.judge.Step(&event.Input{Kind: event.InputBegin, Data: start})
	for i := range taps {
		x.judge.Step(&event.Input{Kind: event.InputTapUp, Tap: uint8(i + 1), Data: []byte(`{"port":"bench"}`)})
	}
	var frame bus.Frame
	for i := range frame.Counts[:servobus.Protocol().Channels] {
		frame.Counts[i] = 992
	}
	for i := range x.raw {
		put(&frame, i)
		servobus.Encode(&frame, x.raw[i][:])
	}
	for range 3000 { // what is said of a beginning
		x.frames()
	}
	return x
}

// frames gives each bus a frame, and the bench a beat each second.
func (x *bench) frames() {
	x.at = x.at.Add(7 * unit.Millisecond)
	if x.n++; x.n%143 == 0 {
		x.in = event.Input{At: x.at, Kind: event.InputBeat}
		x.judge.Step(&x.in)
	}
	for tap := range x.buses {
		x.in = event.Input{At: x.at, Tap: tap + 1, Kind: event.InputBytes, Data: x.raw[x.n%len(x.raw)][:]}
		x.judge.Step(&x.in)
	}
}

// BenchmarkJudge decodes and judges a frame, out of memory.
func BenchmarkJudge(b *testing.B) {
	rest := func(*bus.Frame, int) {}
	stirred := func(f *bus.Frame, i int) {
		for ch := range 4 {
			way := (i/2*(4+ch) + ch*90) % 1200
			f.Counts[ch] = uint32(692 + min(way, 1200-way))
		}
	}
	day := func(f *bus.Frame, i int) { // as BenchmarkDay has it
		if i < 300 {
			f.Counts[0] = uint32(992 + i%97)
		}
		f.Flags = 0
		if i == 997 {
			f.Flags = bus.Lost
		}
	}
	for _, c := range []struct {
		name  string
		buses int
		put   func(*bus.Frame, int)
	}{{"day", 1, day}, {"rest", 1, rest}, {"four-sticks", 1, stirred}, {"rest-eight-buses", 8, rest}} {
		b.Run(c.name, func(b *testing.B) {
			x := newBench(b, c.buses, c.put)
			for b.Loop() {
				x.frames()
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*c.buses), "ns/frame")
		})
	}
}
