package world_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"

	"benchproof.example/decode/scale"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/sim/world"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

const (
	us     = int64(time.Microsecond)
	ms     = int64(time.Millisecond)
	second = int64(time.Second)
	packet = 9 * ms
)

// heard is what a whole run yielded on one tap.
type heard struct {
	sim        *world.Sim
	deliveries []world.Delivery
}

func parse(t testing.TB, text string) *world.Script {
	t.Helper()
	s, err := world.Parse("test.script", []byte(text))
	require.NoError(t, err)
	return s
}

func play(s *world.Script, seed uint64) heard {
	h := heard{sim: world.New(s, seed)}
	h.sim.KeepTruth = true
	for d, ok := h.sim.Next(); ok; d, ok = h.sim.Next() {
		h.deliveries = append(h.deliveries, d)
	}
	return h
}

func run(t testing.TB, text string, seed uint64) heard { return play(parse(t, text), seed) }

func (h heard) bytes(tap int) []byte {
	var all []byte
	for _, d := range h.deliveries {
		if d.Tap == tap {
			all = append(all, d.Data...)
		}
	}
	return all
}

// timed is a frame and when it was complete on the wire.
type timed struct {
	servobus.Frame
	at int64
}

// frames reads a bus without noise or chatter.
func (h heard) frames(t testing.TB, tap int) []timed {
	t.Helper()
	raw, ends := h.bytes(tap), h.sim.FrameEnds(tap)
	require.Len(t, raw, len(ends)*servobus.FrameLen)
	frames := make([]timed, len(ends))
	for i, at := range ends {
		frames[i].Decode((*[servobus.FrameLen]byte)(raw[i*servobus.FrameLen:]))
		frames[i].at = at
		require.EqualValues(t, 0x0F, raw[i*servobus.FrameLen], "header of frame %d", i)
	}
	return frames
}

// between are the frames complete in [from, to).
func between(frames []timed, from, to int64) []timed {
	var some []timed
	for _, f := range frames {
		if from <= f.at && f.at < to {
			some = append(some, f)
		}
	}
	return some
}

// when are the dates of a truth.
func (h heard) when(kind, about, to string) []int64 {
	var dates []int64
	for _, f := range h.sim.Truth() {
		if f.Kind == kind && f.About == about && f.To == to {
			dates = append(dates, f.At)
		}
	}
	return dates
}

func count(width int64) uint16 { return uint16(scale.Common.Count(width * us)) }

// with puts words in the place of the lone % of a script.
func with(text, words string) string { return strings.Replace(text, "%\n", words+"\n", 1) }
