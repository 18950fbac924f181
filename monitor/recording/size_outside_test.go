//go:build outside

package recording_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/files/filestest"
	"benchproof.example/monitor/recording"
	"benchproof.example/monitor/unit"
)

// atRest moves nothing.
func atRest(unit.Duration, *bus.Frame) {}

// stirred moves four sticks all the time, each at a rate of its own.
func stirred(at unit.Duration, frame *bus.Frame) {
	for i := range 4 {
		frame.Counts[i] += uint32(700 * swung(at, i))
	}
}

// following has each output follow a stick, over two thirds of a millisecond.
func following(at unit.Duration, out int) uint32 { return uint32(10_000 * swung(at, out%4)) }

// swung is where a stick is, from 0 to 1.
func swung(at unit.Duration, i int) float64 {
	return (1 + math.Sin(float64(at)/float64(unit.Second)*(2+0.37*float64(i)))) / 2
}

// A day of closed segments, one read a frame, takes at most a third of what zstd -1 makes of the same
// inputs in format 1, a packet each.
func TestTheSizeOfADay(t *testing.T) {
	const lasts = 10 * unit.Minute
	for _, x := range []struct {
		name   string
		leads  bool
		follow func(unit.Duration, int) uint32
		stir   func(unit.Duration, *bus.Frame)
	}{
		{"bus, idle", false, still, atRest}, {"bus, stirred", false, still, stirred},
		{"bus and eight leads, idle", true, still, atRest}, {"bus and eight leads, stirred", true, following, stirred},
	} {
		t.Run(x.name, func(t *testing.T) {
			plain := write(t, segment(1, 0), onBench(lasts, x.leads, false, x.follow, x.stir))
			file := filepath.Join(t.TempDir(), "plain")
			require.NoError(t, os.WriteFile(file, plain, 0o600))
			outsider(t, "zstd", "-q", "-1", file, "-o", file+".zst")
			theirs, err := os.Stat(file + ".zst")
			require.NoError(t, err)

			d := filestest.New()
			d.Put("recording-000001.pcapng", plain)
			require.NoError(t, recording.Pack(t.Context(), d, 1, nil))
			ours := len(d.Content("recording-000001.pcapng.zst"))
			gigabytes := func(n int) float64 { return float64(n) * float64(1440*unit.Minute/lasts) / 1e9 }
			t.Logf("GB a day: %.3f open, %.3f by zstd -1 of format 1, %.3f closed: %.2f of it",
				gigabytes(len(plain)), gigabytes(int(theirs.Size())), gigabytes(ours), float64(ours)/float64(theirs.Size()))
			assert.LessOrEqual(t, 3*int64(ours), theirs.Size())
		})
	}
}

// What the size of a day is compared with is format 1 in all but the header: packets are what they were.
func TestPacketsAreAsLongAsThoseOfFormat1(t *testing.T) {
	frozen, err := os.ReadFile("../../testdata/corpus/reedwing-leads/recording.pcapng")
	require.NoError(t, err)
	require.Contains(t, string(frozen[:400]), `"recording":1`)
	inputs, _ := read(t, frozen)
	require.Greater(t, len(inputs), 1000)
	assert.InEpsilon(t, len(frozen), len(write(t, segment(1, 0), inputs)), 0.01)
}
