package world_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/simtest"
)

const steadyLevel = "hands steady\n" + inLevel

// Answers that are reversed, hardly there, or not there at all, of one axis or all, at one
// output or all; sticks are followed as ever.
func TestCorrectionFaults(t *testing.T) {
	for _, c := range []struct {
		fault       string
		roll, pitch [2]float64 // at outputs 1 and 2 of the elevon
	}{
		{"", [2]float64{-50, -50}, [2]float64{-50, 50}},
		{"fault correction roll -100%\n", [2]float64{50, 50}, [2]float64{-50, 50}},
		{"fault correction all 3%\n", [2]float64{-1.5, -1.5}, [2]float64{-1.5, 1.5}},
		{"fault correction all 0%\n", [2]float64{0, 0}, [2]float64{0, 0}},
		{"fault correction pitch -100% at 2\n", [2]float64{-50, -50}, [2]float64{-50, -50}},
		{"fault correction all -100% at 1\n", [2]float64{50, -50}, [2]float64{50, 50}},
	} {
		for axis, want := range map[string][2]float64{"roll": c.roll, "pitch": c.pitch} {
			moved := tilted(t, settingsOf(t, "elevon")+c.fault+steadyLevel, axis, 20, 1)
			for i := range want {
				assert.InDelta(t, want[i], moved[i+1][1], 1, "%s%s, output %d", c.fault, axis, i+1)
			}
		}
		h := simtest.Run(t, settingsOf(t, "elevon")+c.fault+"hands steady\n0s signal on\n1s stick aileron 2012 over 100ms\n2s end", 1)
		assert.InDelta(t, 1756, mean(t, seen(h, 1, 1500*ms, 2*second)), 1, "the stick moves it all the same")
	}
}

func TestServoFault(t *testing.T) {
	settings := settingsOf(t, "wing") + "fault servo 2\n"
	moved := tilted(t, settings+steadyLevel, "pitch", 20, 1)
	assert.InDelta(t, -100, moved[2][1], 1)
	h := simtest.Run(t, settings+"hands steady\n0s signal on\n1s stick elevator 2012 over 100ms\n1s stick aileron 988 over 100ms\n2s end", 1)
	assert.InDelta(t, 988, mean(t, seen(h, 2, 1500*ms, 2*second)), 1)
	assert.InDelta(t, 988, mean(t, seen(h, 1, 1500*ms, 2*second)), 1, "the others are right")
}

func TestBlendFault(t *testing.T) {
	h := simtest.Run(t, settingsOf(t, "wing")+"fault blend 2 rudder 25%\nfault blend 1 aileron 60%\nhands steady\n0s signal on\n0s inner middle\n"+
		"1s stick rudder 2012 over 100ms\n2s stick aileron 988 over 100ms\n3s end", 1)
	assert.InDelta(t, 1628, mean(t, seen(h, 2, 1500*ms, 3*second)), 1, "one more channel")
	assert.InDelta(t, 2012, mean(t, seen(h, 4, 1500*ms, 3*second)), 1)
	assert.InDelta(t, 1500-512*0.6, mean(t, seen(h, 1, 2500*ms, 3*second)), 1, "another weight")
}

func TestLimitsFault(t *testing.T) {
	h := simtest.Run(t, settingsOf(t, "wing")+"fault limits 1 1200 1800\nhands steady\n0s signal on\n0s inner middle\n"+
		"1s stick aileron 988 over 500ms\n2s stick aileron 2012 over 500ms\n3s end", 1)
	assert.InDelta(t, 1200, mean(t, seen(h, 1, 1600*ms, 2*second)), 1)
	assert.InDelta(t, 1800, mean(t, seen(h, 1, 2600*ms, 3*second)), 1)
	frames := simtest.Between(h.Frames(t, 0), 1600*ms, 2*second)
	assert.Equal(t, simtest.Count(988), frames[0].Counts[ail], "the transmitter goes on")
}

func TestDeadFault(t *testing.T) {
	h := simtest.Run(t, settingsOf(t, "wing")+"fault dead 4\nfault dead 1 1400\n"+inRate+"1s stick aileron 988 over 100ms\n2s tilt roll 20 over 300ms\n3s end", 1)
	assert.Empty(t, seen(h, 4, 0, 3*second))
	assert.InDelta(t, 1400, mean(t, seen(h, 1, 0, 3*second)), 0.5)
	assert.Less(t, spreadOf(seen(h, 1, 0, 3*second)), 26*us/10)
	lines, _ := boardLines(t, h, 1)
	assert.False(t, slices.ContainsFunc(lines, func(l boardLine) bool { return l.output == 4 }))
}

func TestLossFault(t *testing.T) {
	for fault, want := range map[string]float64{"": 988, "fault loss 3 holds\n": 1400, "fault loss 3 stops\n": 0} {
		h := simtest.Run(t, settingsOf(t, "wing")+fault+"0s signal on\n1s stick throttle 1400 over 100ms\n2s signal off\n5s end", 1)
		if lost := seen(h, 3, 3500*ms, 5*second); want == 0 {
			assert.Empty(t, lost)
		} else {
			assert.InDelta(t, want, mean(t, lost), 4, fault)
		}
		assert.InDelta(t, 1400, mean(t, seen(h, 3, 1500*ms, 2800*ms)), 4)
	}
}

func TestPauseFault(t *testing.T) {
	h := simtest.Run(t, settingsOf(t, "wing")+"fault pause 2 every 3s for 700ms\n0s signal on\n10s end", 1)
	var silent []int64
	for at := int64(0); at < 10*second; at += 100 * ms {
		if len(seen(h, 2, at, at+100*ms)) == 0 {
			silent = append(silent, at/second)
		}
		assert.NotEmpty(t, seen(h, 1, at, at+100*ms))
	}
	assert.InDelta(t, 3*7, len(silent), 3)
	assert.Equal(t, []int64{3, 6, 9}, slices.Compact(silent))
}

// Too much gain swings slowly at rest, in modes that answer and have gain, at the
// outputs that correct the axis.
func TestGainFault(t *testing.T) {
	settings := settingsOf(t, "wing") + "fault gain pitch 15 every 250ms\nhands steady\n"
	swings := func(steps string) (crossings int, amplitude int64) {
		h := simtest.Run(t, settings+steps+"7s end", 1)
		some := seen(h, 2, 2*second, 7*second)
		require.NotEmpty(t, some)
		middle := (slices.Max(some) + slices.Min(some)) / 2
		for i := range some[1:] {
			if some[i] <= middle && some[i+1] > middle {
				crossings++
			}
		}
		assert.Less(t, spreadOf(seen(h, 1, 2*second, 7*second)), 26*us/10, "no other output")
		return crossings, spreadOf(some) / 2
	}
	for _, mode := range []string{inRate, inLevel} {
		times, amplitude := swings(mode)
		assert.InDelta(t, 4*5, times, 1, "4 Hz")
		assert.InDelta(t, 15*us, amplitude, float64(us)*3/2)
	}
	for _, mode := range []string{inOff, "0s signal on\n0s stick gain 1500 over 100ms\n"} {
		_, amplitude := swings(mode)
		assert.Less(t, amplitude, 13*us/10)
	}
}
