package world_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/sim/simtest"
)

// right is, for each axis, the stick and which way its end lies that must move an
// output as tail up, left wing up and nose left do (common practice).
var right = map[string]struct {
	stick int
	way   float64
}{"roll": {ail, -1}, "pitch": {ele, 1}, "yaw": {rud, 1}}

// tilted plays a tilt about an axis by some degrees and back, and says how far each
// output went, in us: the farthest within the tilt's half second, the mean
// while it is held, the farthest on the way back.
func tilted(t testing.TB, settings, axis string, degrees int, seed uint64) map[int][3]float64 {
	t.Helper()
	h := simtest.Run(t, settings+fmt.Sprintf("2s tilt %s %d over 300ms\n5s tilt %[1]s 0 over 300ms\n7s end", axis, degrees), seed)
	moved := map[int][3]float64{}
	for output := 1; output <= 4; output++ {
		rest := mean(t, seen(h, output, 1500*ms, 2*second))
		moved[output] = [3]float64{
			farthest(seen(h, output, 2*second, 2500*ms), rest),
			mean(t, seen(h, output, 4*second, 5*second)) - rest,
			farthest(seen(h, output, 5*second, 5500*ms), rest),
		}
	}
	return moved
}

func farthest(some []int64, from float64) (off float64) {
	for _, w := range some {
		if x := float64(w)/float64(us) - from; math.Abs(x) > math.Abs(off) {
			off = x
		}
	}
	return off
}

const (
	fullGain = "0s stick gain 2012 over 100ms\n"
	inRate   = "0s signal on\n" + fullGain
	inLevel  = "0s signal on\n0s inner front\n" + fullGain
	inOff    = "0s signal on\n0s inner middle\n" + fullGain
)

// Every output that corrects an axis answers its tilt as it follows the stick's end
// that right names, on every airframe: with a kick that returns in rate, with what
// stays in level, yaw as in rate. The other outputs, and every output with the
// stabiliser off, stand still.
func TestCorrectionSenses(t *testing.T) {
	const angle = 20
	const kick = 2 * 1.875 * angle / 0.3 // 2 us for a degree a second; a minimum-jerk course peaks at 1.875 of its mean
	for name, outputs := range airframes {
		for axis, stick := range right {
			for _, degrees := range []int{angle, -angle} {
				off := tilted(t, settingsOf(t, name)+"hands steady\n"+inOff, axis, degrees, 5)
				rate := tilted(t, settingsOf(t, name)+"hands steady\n"+inRate, axis, degrees, 5)
				level := tilted(t, settingsOf(t, name)+"hands steady\n"+inLevel, axis, degrees, 5)
				for output, weights := range outputs {
					what := fmt.Sprintf("%s, output %d, %s %d", name, output, axis, degrees)
					sense := weights[stick.stick] * stick.way * float64(degrees) / angle
					near := func(want, got float64, within float64) { assert.InDelta(t, want, got, within, what) }
					for _, still := range off[output] {
						near(0, still, 1.5)
					}
					near(sense*kick, rate[output][0], 1.5+0.15*kick*math.Abs(sense))
					near(0, rate[output][1], 1)
					near(-sense*kick, rate[output][2], 1.5+0.15*kick*math.Abs(sense))
					if axis == "yaw" {
						near(sense*kick, level[output][0], 1.5+0.15*kick*math.Abs(sense))
						near(0, level[output][1], 1)
						continue
					}
					near(sense*5*angle, level[output][1], 1.5)
				}
			}
		}
	}
}

// A hand that is not steady ends near its aim, trembles only while it holds the model, and
// turns the other axes a little. The answer to what was meant is by far the largest.
func TestHandsThatTilt(t *testing.T) {
	var strays []float64
	for seed := range uint64(12) {
		moved := tilted(t, settingsOf(t, "wing")+inLevel, "pitch", 20, seed)
		assert.InDelta(t, 100, moved[2][1], 6.5, "a degree off at most")
		assert.LessOrEqual(t, math.Abs(moved[1][1]), 0.15*105+1.5)
		assert.InDelta(t, 0, moved[3][1], 0.5)
		assert.LessOrEqual(t, math.Abs(moved[4][0]), 0.15*250*1.15+3, "a share of the kick")
		strays = append(strays, moved[1][1])
	}
	assert.Greater(t, slices.Max(strays)-slices.Min(strays), 8.0, "now this way, now that")

	h := simtest.Run(t, settingsOf(t, "wing")+inRate+"2s tilt pitch 20 over 300ms\n5s tilt pitch 0 over 300ms\n9s end", 3)
	held, down := seen(h, 2, 3*second, 5*second), seen(h, 2, 6*second, 8*second)
	assert.Greater(t, spreadOf(held), 3*us, "in the hand")
	assert.Less(t, spreadOf(down), 26*us/10, "on the bench")
	tilts := [][]int64{h.When("tilt", "pitch", "turning"), h.When("tilt", "pitch", "still")}
	assert.Equal(t, [][]int64{{2 * second, 5 * second}, {2300 * ms, 5300 * ms}}, tilts)
}

// The gain is folded: none at 1500 us, the same on both sides, full at the ends.
func TestGainIsFolded(t *testing.T) {
	for gain, share := range map[int]float64{1500: 0, 1756: 0.5, 1244: 0.5, 2012: 1, 988: 1, 1628: 0.25} {
		moved := tilted(t, settingsOf(t, "wing")+fmt.Sprintf("hands steady\n0s signal on\n0s inner front\n0s stick gain %d over 100ms\n", gain), "roll", 20, 1)
		assert.InDelta(t, -100*share, moved[1][1], 1.5, "gain at %d us", gain)
	}
	fixed := tilted(t, settingsOf(t, "wing")+"hands steady\ngyro gain 30%\n0s signal on\n0s inner front\n", "roll", 20, 1)
	assert.InDelta(t, -30, fixed[1][1], 1.5, "not by the channel")
}

// Modes go by what the receiver was sent: both windows of a cell must hold, and in
// failsafe the presets ask.
func TestModesByCells(t *testing.T) {
	h := simtest.Run(t, settingsOf(t, "wing")+"0s signal on\n1s inner middle\n2s inner front\n3s outer front\n4s signal off\n7s end", 1)
	var modes []string
	for _, f := range h.Sim.Truth() {
		if f.Kind == "gyro" {
			modes = append(modes, f.To)
		}
	}
	assert.Equal(t, []string{"rate", "off", "level", "rate", "off"}, modes)

	moved := tilted(t, settingsOf(t, "wing")+"hands steady\n0s signal on\n100ms stick gain 2012 over 100ms\n200ms inner front\n500ms signal off\n", "roll", 20, 1)
	assert.InDelta(t, 0, moved[1][1], 1, "the preset is off")
	lost := simtest.Run(t, "channel 1 aileron 1500\nchannel 11 inner 988\nplace inner back 988\nplace inner front 2012\nhands steady\n"+
		"receiver main hold\nboard leads of main\naxis roll aileron left 988\ngyro level when inner 1700 3000\noutput 1 by aileron 100% corrects roll\n"+
		"0s signal on\n500ms inner front\n1s signal off\n4s tilt roll 20 over 300ms\n8s end", 1)
	assert.InDelta(t, 1400, mean(t, seen(lost, 1, 5*second, 8*second)), 1, "it goes on correcting")
}
