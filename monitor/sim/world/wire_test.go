package world_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/sim/simtest"
)

// 25 characters of 12 bits at 100 000 baud take 3.000 ms (common practice). A
// listener has the last one before its second stop bit, and an adapter that
// looks every 100 µs shows each character at its time.
func TestAFrameTakesThreeMilliseconds(t *testing.T) {
	const bit = int64(1e9) / 100_000
	require.EqualValues(t, 3*ms, 25*12*bit)
	h := simtest.Run(t, "receiver main hold period 20ms\nadapter main clump 100us\n0s signal on\n10s end", 1)
	ends := h.Sim.FrameEnds(0)
	have := 0
	for _, d := range h.Deliveries {
		for range d.Data {
			frame, i := have/servobus.FrameLen, int64(have%servobus.FrameLen)
			at := ends[frame] - (24-i)*12*bit
			require.GreaterOrEqual(t, d.At, at)
			require.Less(t, d.At, at+100*us)
			have++
		}
	}
	assert.Equal(t, len(ends)*servobus.FrameLen, have)
}

func TestMissingFrames(t *testing.T) {
	h := simtest.Run(t, "receiver main hold\nwire main missing 5%\n0s signal on\n100s end", 1)
	missing, ends := h.When("frame", "main", "missing"), h.Sim.FrameEnds(0)
	all := float64(len(missing) + len(ends))
	assert.InDelta(t, 100_000.0/7, all, 2)
	assert.InDelta(t, 0.05*all, len(missing), 4*math.Sqrt(0.05*all))
	require.Len(t, h.Bytes(0), len(ends)*servobus.FrameLen, "whole frames only")
	for _, f := range h.Frames(t, 0) {
		require.False(t, f.Lost() && f.At > second, "a gap on the wire is no loss in the air")
	}
}

// A parity error marks the packet that carries it; two flipped bits pass.
func TestDamage(t *testing.T) {
	const text = "receiver main hold\nwire main %\nadapter main clump 100us\n0s signal on\n60s end"
	clean, hit := simtest.Run(t, with(text, "damage 0%"), 1), simtest.Run(t, with(text, "damage 1%"), 1)
	require.Equal(t, len(clean.Deliveries), len(hit.Deliveries))
	wrong, marked := 0, 0
	for i, d := range hit.Deliveries {
		differs := string(d.Data) != string(clean.Deliveries[i].Data)
		require.False(t, clean.Deliveries[i].Bad)
		require.False(t, d.Bad && !differs, "a mark on good bytes")
		if differs {
			wrong++
		}
		if d.Bad {
			marked++
		}
	}
	chars := float64(len(hit.Bytes(0)))
	damaged := len(hit.When("character", "main", "damaged"))
	assert.InDelta(t, 0.01*chars, damaged, 4*math.Sqrt(0.01*chars))
	assert.InDelta(t, damaged, wrong, 3, "characters come one at a time here, but for a rare pair at a frame's edge")
	assert.InDelta(t, 0.75, float64(marked)/float64(wrong), 0.05)
}

func TestNoiseStandsBetweenFrames(t *testing.T) {
	h := simtest.Run(t, "receiver main silent\nwire main noise 50\n60s end", 1)
	assert.InDelta(t, 50*60, len(h.Bytes(0)), 4*math.Sqrt(50*60), "a silent bus has nothing else")
	bad := 0
	for _, d := range h.Deliveries {
		if d.Bad {
			bad++
		}
	}
	assert.InDelta(t, 0.5, float64(bad)/float64(len(h.Deliveries)), 0.05)

	busy := simtest.Run(t, "receiver main hold\nwire main noise 50\nadapter main clump 100us\n0s signal on\n60s end", 1)
	frames := len(busy.Sim.FrameEnds(0))
	stray := len(busy.Bytes(0)) - frames*servobus.FrameLen
	assert.InDelta(t, 50*60*4.0/7, stray, 4*math.Sqrt(50*60*4.0/7)+100, "only where the line is free")
	assert.Equal(t, frames, wholeFrames(busy), "no frame is torn")
}

func TestChatterFollowsAboutHalfOfTheFrames(t *testing.T) {
	h := simtest.Run(t, "receiver main hold footer slots chatter 8\nadapter main clump 100us\n0s signal on\n60s end", 1)
	frames := len(h.Sim.FrameEnds(0))
	stray := len(h.Bytes(0)) - frames*servobus.FrameLen
	assert.Zero(t, stray%8)
	assert.InDelta(t, 0.5, float64(stray)/8/float64(frames), 0.05)
	assert.Equal(t, frames, wholeFrames(h))
}

// wholeFrames counts the frames that stand in one piece where the truth says,
// by the dates of an adapter that looks every 100 µs.
func wholeFrames(h simtest.Played) (whole int) {
	type dated struct {
		at int64
		b  byte
	}
	var all []dated
	for _, d := range h.Deliveries {
		for _, b := range d.Data {
			all = append(all, dated{d.At, b})
		}
	}
	i := 0
	for _, end := range h.Sim.FrameEnds(0) {
		for i < len(all) && all[i].at < end-24*servobus.Protocol().CharTime() {
			i++
		}
		if i+24 < len(all) && all[i].b == 0x0F && all[i+24].at-end < 100*us {
			whole++
		}
	}
	return whole
}
