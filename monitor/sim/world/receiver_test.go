package world_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/sim/simtest"
)

// lossAt5 has the aileron at 1800 and inner at the front when the signal goes,
// while the hand is about to move on; % is a receiver.
const lossAt5 = `channel 1 aileron 1500 stops 988 1800
channel 2 elevator 1500
channel 11 inner 988
place inner back 988
place inner middle 1500
place inner front 2012
receiver main %
0s signal on
1s stick aileron 1800 over 600ms
2s inner middle
3s inner front
5s signal off
6s stir elevator for 2s
9s signal on
12s end
`

const presets = "\npreset main aileron 1200\npreset main inner middle"

// What the loss of the signal looks like on the wire: values and flags go
// their own ways.
func TestLossOfSignal(t *testing.T) {
	const lost, failsafe = bus.Lost, bus.Failsafe
	cases := []struct {
		receiver       string
		early, late    bus.Flags // flags while it waits, and in failsafe
		aileron, inner int64     // widths in failsafe
		silent         bool
	}{
		{"preset" + presets, lost, lost | failsafe, 1200, 1500, false},
		{"preset flags lost" + presets, lost, lost, 1200, 1500, false},
		{"preset flags failsafe" + presets, 0, failsafe, 1200, 1500, false},
		{"preset flags none" + presets, 0, 0, 1200, 1500, false},
		{"preset" + "\npreset main aileron 1200", lost, lost | failsafe, 1200, 2012, false},
		{"hold", lost, lost | failsafe, 1800, 2012, false},
		{"hold flags none", 0, 0, 1800, 2012, false},
		{"silent", lost, 0, 0, 0, true},
		{"silent flags none", 0, 0, 0, 0, true},
	}
	for _, c := range cases {
		t.Run(c.receiver, func(t *testing.T) {
			h := simtest.Run(t, with(lossAt5, c.receiver), 4)
			frames := h.Frames(t, 0)
			for _, f := range simtest.Between(frames, 4*second, 5*second) {
				require.Zero(t, f.Flags)
			}
			waiting := simtest.Between(frames, 5100*ms, 5880*ms)
			require.Greater(t, len(waiting), 100)
			for _, f := range waiting {
				require.Equal(t, c.early, f.Flags)
				require.Equal(t, [2]uint32{simtest.Count(1800), simtest.Count(2012)}, [2]uint32{f.Counts[0], f.Counts[10]})
			}
			gone := simtest.Between(frames, 5920*ms, 9*second)
			if c.silent {
				require.Empty(t, gone)
			} else {
				require.Greater(t, len(gone), 400)
			}
			for _, f := range gone {
				require.Equal(t, c.late, f.Flags)
				require.Equal(t, [2]uint32{simtest.Count(c.aileron), simtest.Count(c.inner)}, [2]uint32{f.Counts[0], f.Counts[10]})
				require.Equal(t, simtest.Count(1500), f.Counts[1], "stirred unheard")
			}
			for _, f := range simtest.Between(frames, 9020*ms, 12*second) {
				require.Zero(t, f.Flags, "back at once")
				require.Equal(t, [2]uint32{simtest.Count(1800), simtest.Count(2012)}, [2]uint32{f.Counts[0], f.Counts[10]})
			}
			entered := h.When("failsafe", "main", "entered")
			require.Len(t, entered, 1)
			assert.InDelta(t, 5900*ms, entered[0], float64(packet+7*ms+50*us))
		})
	}
}

// Presets come in one frame: no frame has some of them only.
func TestPresetsComeInOneFrame(t *testing.T) {
	for _, f := range simtest.Run(t, with(lossAt5, "preset"+presets), 4).Frames(t, 0) {
		if f.At > 5*second {
			require.Equal(t, f.Counts[0] == simtest.Count(1200), f.Counts[10] == simtest.Count(1500))
		}
	}
}

func TestRegainAndAfter(t *testing.T) {
	h := simtest.Run(t, with(lossAt5, "hold after 300ms regain 400ms"), 4)
	entered, left := h.When("failsafe", "main", "entered"), h.When("failsafe", "main", "left")
	require.Len(t, entered, 1)
	require.Len(t, left, 2)
	assert.InDelta(t, 5300*ms, entered[0], float64(packet+7*ms+50*us))
	assert.InDelta(t, 400*ms, left[0], float64(2*packet), "the first link counts too")
	assert.InDelta(t, 9400*ms, left[1], float64(2*packet))
}

// A signal that goes again before the receiver trusts it counts for nothing.
func TestRegainStartsAgain(t *testing.T) {
	h := simtest.Run(t, "receiver main hold regain 400ms\n1s signal on\n1.2s signal off\n2s signal on\n3s end", 4)
	left := h.When("failsafe", "main", "left")
	require.Len(t, left, 1)
	assert.InDelta(t, 2400*ms, left[0], float64(2*packet))
}

func TestBeforeTheFirstLink(t *testing.T) {
	const wait = "channel 1 aileron 1700\nreceiver main %\n2s signal on\n3s end"
	both := bus.Lost | bus.Failsafe
	for _, c := range []struct {
		receiver string
		width    int64
		flags    bus.Flags
	}{{"preset\npreset main aileron 1200", 1200, both}, {"preset", 1500, both}, {"hold flags none", 1500, 0}} {
		early := simtest.Between(simtest.Run(t, with(wait, c.receiver), 4).Frames(t, 0), 0, 2*second)
		require.Greater(t, len(early), 280)
		for _, f := range early {
			require.Equal(t, c.flags, f.Flags, c.receiver)
			require.Equal(t, simtest.Count(c.width), f.Counts[0], c.receiver)
		}
	}
	assert.Empty(t, simtest.Between(simtest.Run(t, with(wait, "silent"), 4).Frames(t, 0), 0, 2*second))
}

// One missed packet shows in one or two frames of 7 ms, sometimes in none.
func TestOneMissedPacketInSeveralFrames(t *testing.T) {
	h := simtest.Run(t, "receiver main hold\nlink main loss 2% burst 1\n0s signal on\n300s end", 9)
	missed := h.When("packet", "main", "missed")
	lengths, length := map[int]int{}, 0
	for _, f := range simtest.Between(h.Frames(t, 0), second, 300*second) {
		if f.Lost() {
			length++
		} else if length > 0 {
			lengths[length]++
			length = 0
		}
	}
	assert.Greater(t, len(missed), 400)
	assert.Greater(t, lengths[1], 100)
	assert.Greater(t, lengths[2], 50)
	assert.Zero(t, lengths[4]+lengths[5])
}

func TestFooters(t *testing.T) {
	for i, f := range simtest.Run(t, "receiver main hold footer slots\n0s signal on\n2s end", 1).Frames(t, 0) {
		require.Equal(t, []uint8{0x04, 0x14, 0x24, 0x34}[i%4], f.Private)
	}
	for _, f := range simtest.Run(t, "receiver main hold\n0s signal on\n2s end", 1).Frames(t, 0) {
		require.Zero(t, f.Private)
	}
}

// Frames keep to a grid of the receiver's own, 50 µs off it at most, and the
// grid's pace differs from receiver to receiver by parts per million.
func TestFramePace(t *testing.T) {
	paces := map[int64]bool{}
	for seed := range int64(10) {
		period := 7 + 7*(seed%2)
		ends := simtest.Run(t, fmt.Sprintf("receiver main hold period %dms\n0s signal on\n100s end", period), uint64(seed)).Sim.FrameEnds(0)
		require.InDelta(t, 100_000/period, len(ends), 2)
		varied := false
		for i := 1; i < len(ends); i++ {
			step := ends[i] - ends[i-1]
			require.InDelta(t, period*ms, step, float64(101*us))
			varied = varied || step != period*ms
		}
		assert.True(t, varied)
		n := int64(len(ends) - 1)
		pace := (ends[n] - ends[0]) / n
		assert.InDelta(t, period*ms, pace, float64(period*41), "41 ppm and the jitter")
		paces[pace] = true
	}
	assert.Len(t, paces, 10)
}
