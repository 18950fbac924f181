package simtest

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/protocols"
	"benchproof.example/decode/scale"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
)

// Played is what a whole play of a script yielded.
type Played struct {
	Sim        *world.Sim // with its truth
	Deliveries []world.Delivery
}

// Parse reads a script that must be right.
func Parse(t testing.TB, text string) *script.Script {
	t.Helper()
	s, err := script.Parse("test.script", []byte(text))
	require.NoError(t, err)
	return s
}

// ParseDriven reads a script that must be right and may lack its steps.
func ParseDriven(t testing.TB, text string) *script.Script {
	t.Helper()
	s, err := script.ParseDriven("driven.script", []byte(text))
	require.NoError(t, err)
	return s
}

// Named is a script that comes with the program.
func Named(t testing.TB, name string) *script.Script {
	t.Helper()
	s, err := script.Named(name)
	require.NoError(t, err)
	return s
}

// Play plays a script to its end.
func Play(s *script.Script, seed uint64) Played {
	play := Played{Sim: world.New(&s.Plan, seed)}
	play.Sim.KeepTruth = true
	for d, ok := play.Sim.Next(); ok; d, ok = play.Sim.Next() {
		play.Deliveries = append(play.Deliveries, d)
	}
	return play
}

// Run plays the text of a script to its end.
func Run(t testing.TB, text string, seed uint64) Played {
	t.Helper()
	return Play(Parse(t, text), seed)
}

// Bytes are all that one tap delivered.
func (p Played) Bytes(tap int) []byte {
	var all []byte
	for _, d := range p.Deliveries {
		if d.Tap == tap {
			all = append(all, d.Data...)
		}
	}
	return all
}

// Frame is one frame, and when it was complete on the wire, ns since the start.
type Frame struct {
	bus.Frame
	At int64
}

// Frames reads a bus without noise or chatter.
func (p Played) Frames(t testing.TB, tap int) []Frame {
	t.Helper()
	protocol, _ := protocols.Find("")
	raw, ends := p.Bytes(tap), p.Sim.FrameEnds(tap)
	require.Len(t, raw, len(ends)*protocol.FrameLen)
	frames := make([]Frame, len(ends))
	for i, at := range ends {
		protocol.Decode(raw[i*protocol.FrameLen:], &frames[i].Frame)
		frames[i].At = at
		require.EqualValues(t, 0x0F, raw[i*protocol.FrameLen], "header of frame %d", i)
	}
	return frames
}

// Between are the frames that were complete in [from, to), ns.
func Between(frames []Frame, from, to int64) []Frame {
	var some []Frame
	for _, f := range frames {
		if from <= f.At && f.At < to {
			some = append(some, f)
		}
	}
	return some
}

// Last is the last frame that was complete by a time, ns.
func Last(t testing.TB, frames []Frame, by int64) Frame {
	t.Helper()
	for _, f := range slices.Backward(frames) {
		if f.At <= by {
			return f
		}
	}
	require.Fail(t, "no frame yet", "at %d", by)
	return Frame{}
}

// When are the dates of a truth, ns.
func (p Played) When(kind, about, to string) []int64 {
	var dates []int64
	for _, f := range p.Sim.Truth() {
		if f.Kind == kind && f.About == about && f.To == to {
			dates = append(dates, f.At)
		}
	}
	return dates
}

// Count is the count of a width in µs, by the common scale.
func Count(width int64) uint32 { return uint32(scale.Common.Count(width * 1000)) }
