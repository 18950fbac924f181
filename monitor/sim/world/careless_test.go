package world_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
)

// gimbal has two sticks, a throttle and a switch on a receiver with presets.
const gimbal = `channel 1 aileron 1500
channel 2 elevator 1500
channel 3 throttle 1010 stops 1010 2012
channel 4 rudder 1500
channel 11 inner 988
place inner back 988
place inner front 2012
%
receiver main preset
preset main throttle 988
0s signal on
`

// Thrown sticks run onto their stops at full speed, both in one packet, and are back
// within 60 to 100 ms and the pace of packets.
func TestSlam(t *testing.T) {
	h := simtest.Run(t, with(gimbal, "")+"1s slam aileron 2012 elevator 988 over 60ms for 300ms\n3s end", 3)
	frames := h.Frames(t, 0)
	hits := [2]int64{}
	for i, to := range []uint32{simtest.Count(2012), simtest.Count(988)} {
		for j, f := range frames {
			if f.Counts[i] == to {
				hits[i] = f.At
				require.Greater(t, abs(int(frames[j-2].Counts[i])-int(to)), 100, "full speed")
				break
			}
		}
	}
	assert.Equal(t, hits[0], hits[1], "in one frame")
	for _, f := range simtest.Between(frames, 1100*ms, 1350*ms) {
		require.Equal(t, []uint32{simtest.Count(2012), simtest.Count(988)}, f.Counts[:2])
	}
	back := simtest.Last(t, frames, 1360*ms+100*ms+2*packet)
	require.InDelta(t, simtest.Count(1500), back.Counts[0], 4)
	require.InDelta(t, simtest.Count(1500), back.Counts[1], 4)
	assert.Equal(t, []int64{1060 * ms}, h.When("stick", "aileron", "resting")[:1])
}

func abs(x int) int { return max(x, -x) }

// A stick that is held after a slam stays.
func TestSlamStays(t *testing.T) {
	h := simtest.Run(t, with(gimbal, "")+"1s slam aileron 2012 over 60ms\n3s end", 3)
	for _, f := range simtest.Between(h.Frames(t, 0), 1100*ms, 3*second) {
		require.Equal(t, simtest.Count(2012), f.Counts[0])
	}
}

// In a corner of a round gate both axes stand at 71 % of their way.
func TestRoundGate(t *testing.T) {
	h := simtest.Run(t, with(gimbal, "gate round aileron elevator")+"1s slam aileron 2012 elevator 988 over 60ms\n2s stick elevator 1500 over 500ms\n4s end", 3)
	frames := h.Frames(t, 0)
	at := simtest.Last(t, frames, 1900*ms)
	require.InDelta(t, simtest.Count(1500+362), at.Counts[0], 2)
	require.InDelta(t, simtest.Count(1500-362), at.Counts[1], 2)
	require.InDelta(t, simtest.Count(2012), simtest.Last(t, frames, 3900*ms).Counts[0], 1, "straight on it reaches its stop")
}

func TestLowRates(t *testing.T) {
	h := simtest.Run(t, with(gimbal, "")+"1s rate aileron elevator at 60%\n1s slam aileron 2012 over 60ms\n2s rate aileron at 100%\n3s end", 3)
	frames := h.Frames(t, 0)
	assert.InDelta(t, simtest.Count(1500+307), simtest.Last(t, frames, 1900*ms).Counts[0], 1)
	assert.Equal(t, simtest.Count(2012), simtest.Last(t, frames, 2900*ms).Counts[0], "in one leap")
	assert.Equal(t, []int64{second}, h.When("rate", "elevator", "60%"))
}

// Two sticks at one rhythm: the axes of one a quarter of a turn apart.
func TestCircles(t *testing.T) {
	h := simtest.Run(t, "hands steady varied\n"+with(gimbal, "")+"1s circle aileron elevator rudder throttle every 1s for 5s\n8s end", 5)
	frames := h.Frames(t, 0)
	ups := func(channel int) (at []int64) {
		middle := simtest.Count(1500)
		if channel == 2 {
			middle = simtest.Count((1010 + 2012) / 2)
		}
		round := simtest.Between(frames, 1600*ms, 6100*ms)
		for i := 1; i < len(round); i++ {
			if round[i-1].Counts[channel] < middle && round[i].Counts[channel] >= middle {
				at = append(at, round[i].At)
			}
		}
		return at
	}
	for _, c := range []struct{ channel, like, behind int }{{0, 1, 250}, {3, 2, 250}, {0, 3, 0}} {
		a, b := ups(c.channel), ups(c.like)
		require.GreaterOrEqual(t, len(a), 4)
		for i := 1; i < len(a); i++ {
			require.InDelta(t, second, a[i]-a[i-1], float64(2*packet))
		}
		off := (a[1] - b[1] + 2*second) % second
		require.Less(t, min(abs64(off-int64(c.behind)*ms), abs64(off-int64(c.behind)*ms-second)), 3*packet, "%v: %d", c, off)
	}
	rest := simtest.Last(t, frames, 7900*ms)
	assert.InDelta(t, simtest.Count(1500), rest.Counts[0], 4)
	assert.InDelta(t, simtest.Count(1010), rest.Counts[2], 4, "the throttle goes back to where it was")
}

func abs64(x int64) int64 { return max(x, -x) }

func TestPause(t *testing.T) {
	h := simtest.Run(t, with(gimbal, "")+"1s stir aileron elevator for 6s\n3s pause aileron elevator for 1500ms\n9s pause aileron for 1s\n10s end", 4)
	frames := h.Frames(t, 0)
	still := simtest.Between(frames, 3170*ms, 4500*ms)
	for _, f := range still {
		require.Equal(t, still[0].Counts[:2], f.Counts[:2])
	}
	assert.NotEqual(t, still[0].Counts[0], simtest.Last(t, frames, 5*second).Counts[0], "it goes on")
	assert.InDelta(t, simtest.Count(1500), simtest.Last(t, frames, 9900*ms).Counts[0], 4)
	assert.Len(t, h.When("stick", "aileron", "moving"), 2, "a pause is a rest; a hand that does not stir has none")
}

// A flight phase changes its own channel and others in one packet, both ways.
func TestPhase(t *testing.T) {
	h := simtest.Run(t, with(gimbal, "phase inner front aileron 40 elevator -25 throttle 60")+"1s inner front\n2s inner back\n3s end", 4)
	frames := h.Frames(t, 0)
	changes := 0
	for i := 1; i < len(frames); i++ {
		if frames[i].At > second/2 && frames[i].Counts != frames[i-1].Counts {
			changes++
		}
	}
	assert.Equal(t, 2, changes)
	at := simtest.Last(t, frames, 1900*ms)
	assert.Equal(t, []uint32{simtest.Count(1540), simtest.Count(1475), simtest.Count(1070), simtest.Count(1500)}, at.Counts[:4])
	assert.Equal(t, simtest.Count(1010), simtest.Last(t, frames, 2900*ms).Counts[2])
}

func TestTremble(t *testing.T) {
	h := simtest.Run(t, with(gimbal, "tremble rudder every 200ms..1s")+"20s end", 4)
	seen, changes := map[uint32]bool{}, 0
	frames := simtest.Between(h.Frames(t, 0), second, 20*second)
	for i, f := range frames {
		seen[f.Counts[3]] = true
		if i > 0 && f.Counts[3] != frames[i-1].Counts[3] {
			changes++
		}
	}
	at := simtest.Count(1500)
	assert.Equal(t, map[uint32]bool{at - 1: true, at: true, at + 1: true}, seen)
	assert.InDelta(t, 2*19/0.635, changes, 24)
}

func TestMute(t *testing.T) {
	h := simtest.Run(t, with(gimbal, "")+"1s mute main for 100ms\n3s end", 4)
	ends := h.Sim.FrameEnds(0)
	longest := int64(0)
	for i := 1; i < len(ends); i++ {
		if ends[i] > second/2 {
			longest = max(longest, ends[i]-ends[i-1])
		}
	}
	assert.Greater(t, longest, 100*ms)
	assert.Less(t, longest, 116*ms, "two periods more")
	assert.Len(t, h.When("bus", "main", "silent"), 1)
	assert.Len(t, h.When("bus", "main", "back"), 1)
	assert.Empty(t, h.When("frame", "main", "missing"))
}

// What came during a stall is handed over at its end; nothing is lost.
func TestStall(t *testing.T) {
	plain := simtest.Run(t, with(gimbal, "")+"4s end", 4)
	h := simtest.Run(t, with(gimbal, "")+"1s stall for 2s\n4s end", 4)
	assert.Equal(t, plain.Bytes(0), h.Bytes(0))
	at := map[int64]int{}
	for _, d := range h.Deliveries {
		require.False(t, d.At >= second+2*ms && d.At < 3*second, "%d", d.At)
		require.LessOrEqual(t, len(d.Data), 4096)
		at[d.At]++
	}
	assert.Equal(t, 2, at[3*second], "two seconds of frames are 7150 bytes")
	assert.Equal(t, []int64{second}, h.When("stall", "computer", "began"))
	assert.Equal(t, []int64{3 * second}, h.When("stall", "computer", "ended"))
}

// Wrong frames are equal to each other and to what they should be in all but what
// the line says; the rest is as without them.
func TestGarble(t *testing.T) {
	plain := simtest.Run(t, with(gimbal, "")+"3s end", 4).Frames(t, 0)
	h := simtest.Run(t, with(gimbal, "")+"1s garble main 3 frames flags failsafe aileron 1200 throttle 2012\n2s garble main 1 frames flags lost\n3s end", 4)
	frames := h.Frames(t, 0)
	require.Len(t, frames, len(plain))
	wrong := []simtest.Frame{}
	for i := range frames {
		if frames[i] != plain[i] {
			wrong = append(wrong, frames[i])
		}
	}
	require.Len(t, wrong, 4)
	for _, f := range wrong[:3] {
		assert.Equal(t, bus.Failsafe, f.Flags)
		assert.Equal(t, []uint32{simtest.Count(1200), simtest.Count(1500), simtest.Count(2012)}, f.Counts[:3])
	}
	assert.Equal(t, bus.Lost, wrong[3].Flags)
	assert.Equal(t, simtest.Count(1500), wrong[3].Counts[0])
	assert.Len(t, h.When("frame", "main", "wrong"), 4)
	sent := h.Sim.Frames(0)
	require.Len(t, sent, len(frames))
	for i, f := range sent {
		require.Equal(t, frames[i], simtest.Frame{Frame: f.Frame, At: f.At})
		require.Equal(t, frames[i] != plain[i], f.Wrong)
		require.False(t, f.Wrong && f.Live)
	}
}

func TestAlwaysFlagged(t *testing.T) {
	h := simtest.Run(t, "channel 1 aileron 1500\nreceiver main hold always lost\n0s signal on\n1s stir aileron for 1s\n3s end", 4)
	values := map[uint32]bool{}
	for _, f := range simtest.Between(h.Frames(t, 0), second, 3*second) {
		require.Equal(t, bus.Lost, f.Flags)
		values[f.Counts[0]] = true
	}
	assert.Greater(t, len(values), 20, "its values move all the same")
}

// A held, a preset and a live frame are distinguished.
func TestFramesTellWhatIsLive(t *testing.T) {
	h := simtest.Run(t, with(gimbal, "")+"1s signal off\n3s signal on\n4s hiccup main for 300ms\n5s end", 4)
	live := func(from, to int64) (n, of int) {
		for _, f := range h.Sim.Frames(0) {
			if from <= f.At && f.At < to {
				of++
				if f.Live {
					n++
				}
			}
		}
		return n, of
	}
	for _, c := range []struct {
		from, to int64
		live     bool
	}{{100 * ms, second, true}, {second + 30*ms, 3 * second, false}, {3*second + 30*ms, 4 * second, true},
		{4*second + 10*ms, 4300 * ms, false}, {4310 * ms, 5 * second, true}} {
		n, of := live(c.from, c.to)
		want := 0
		if c.live {
			want = of
		}
		require.NotZero(t, of)
		assert.Equal(t, want, n, "%v", c)
	}
}

func TestParseRefusesCarelessness(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"gate square aileron elevator", `found "square", want "round"`},
		{"gate round aileron aileron", `found the same channel twice, want the two channels of a stick`},
		{"gate round aileron inner", `found "inner", want a channel that a hand moves`},
		{"phase aileron front elevator 10", `found "aileron", want a channel with places above`},
		{"phase inner front", `found the end of the line, want one of aileron`},
		{"phase inner front inner 10", `found "inner" again, want each other channel once`},
		{"phase inner front aileron 1001", `found "1001", want what is added in us`},
		{"tremble inner every 1s", `found "inner", want a channel that a hand moves`},
		{"tremble aileron every 2s..1s", `found a range that falls`},
		{"0s slam aileron 2100 over 60ms", `found 2100 us, want a width between the stops of aileron`},
		{"0s slam over 60ms", `found "over", want one of aileron`},
		{"0s slam aileron 2012 over 60ms in 1s", `found "in", want "for"`},
		{"0s circle aileron every 1s for 2s", `found "every", want one of aileron`},
		{"0s circle aileron elevator every 100ms for 2s", `found "100ms", want how long a turn takes`},
		{"0s pause for 1s", `found "for", want one of aileron`},
		{"0s rate aileron 60%", `found "60%", want one of aileron`},
		{"0s rate aileron at 5%", `found "5%", want the share of the travel, a share from 10% to 100%`},
		{"0s mute side for 1s", `found "side", want "main"`},
		{"0s stall 1s", `found "1s", want "for"`},
		{"0s garble main 0 frames flags lost", `found "0", want the frames that are wrong`},
		{"0s garble main 3 frames", `found the end of the line, want one of aileron`},
		{"0s garble main 3 frames flags some", `found "some", want one of both, lost, failsafe, none`},
		{"receiver rear hold always yes", `found "yes", want one of both, lost, failsafe, none`},
		{"receiver computer hold", `found "computer" again`},
	} {
		t.Run(c.text, func(t *testing.T) {
			const bench = "channel 1 aileron 1500\nchannel 2 elevator 1500\nchannel 11 inner 988\nplace inner back 988\nplace inner front 2012\nreceiver main preset\n"
			_, err := script.Parse("x.script", []byte(bench+c.text+"\n9s end"))
			require.ErrorContains(t, err, "x.script:7: "+c.want)
		})
	}
}

// What a careless sitting gives, as it was when someone last looked.
func TestCarelessnessStaysAsItWas(t *testing.T) {
	const script = "hands varied\n" + gimbal + `1s slam aileron 2012 elevator 988 over 60ms for 200ms
2s circle aileron elevator every 900ms for 3s
6s stir aileron elevator rudder for 5s
8s pause aileron elevator for 1s
9s garble main 2 frames flags failsafe aileron 1000
12s rate aileron at 60%
12.5s mute main for 100ms
13s inner front
14s stall for 500ms
16s end`
	s := with(script, "gate round aileron elevator\nphase inner front aileron 40 throttle 60\ntremble rudder every 100ms..2s")
	assert.Equal(t, "136c4aa7258413e1", fingerprint(simtest.Run(t, s, 7)))
}
