package world_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

const (
	ail = iota
	ele
	thr
	rud
)

// airframes are the mixes of the scripts, written down here again.
var airframes = map[string]map[int][4]float64{
	"wing":   {1: {ail: 1}, 2: {ele: 1}, 3: {thr: 1}, 4: {rud: 1}},
	"elevon": {1: {ail: 0.5, ele: -0.5}, 2: {ail: 0.5, ele: 0.5}, 3: {thr: 1}, 4: {rud: 1}},
	"vtail":  {1: {ail: 1}, 2: {ele: 0.5, rud: 0.5}, 3: {thr: 1}, 4: {ele: -0.5, rud: 0.5}},
}

// settingsOf is the bench of an airframe, without steps.
func settingsOf(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", name+".settings"))
	require.NoError(t, err)
	return string(text)
}

// Each output stands where the sum of its shares has it, for sticks in the middle
// and at both ends.
func TestOutputsFollowTheirMix(t *testing.T) {
	const steps = "0s signal on\n0s inner middle\n" +
		"1s stick aileron 988 over 100ms\n2s stick elevator 2012 over 100ms\n3s stick rudder 1200 over 100ms\n" +
		"4s stick throttle 2012 over 100ms\n5s stick aileron 1800 over 100ms\n6s stick elevator 988 over 100ms\n7s stick rudder 2012 over 100ms\n8s end"
	stages := [][4]float64{
		{0, 0, -512, 0}, {-512, 0, -512, 0}, {-512, 512, -512, 0}, {-512, 512, -512, -300},
		{-512, 512, 512, -300}, {300, 512, 512, -300}, {300, -512, 512, -300}, {300, -512, 512, 512},
	}
	for name, outputs := range airframes {
		h := simtest.Run(t, settingsOf(t, name)+"hands steady\n"+steps, 5)
		for i, sticks := range stages {
			for output, weights := range outputs {
				want := 1500.0
				for c, w := range weights {
					want += w * sticks[c]
				}
				from := int64(i)*second + 600*ms
				for _, w := range seen(h, output, from, from+300*ms) {
					require.InDelta(t, want, float64(w)/float64(us), 1.0, "%s, output %d, stage %d", name, output, i)
				}
				require.Len(t, seen(h, output, from, from+300*ms), 15, "50 Hz")
			}
		}
	}
}

// At rest without a stabiliser widths stray by less than 2.6 µs (an assumption of ours),
// as the board reports them.
func TestOutputsAreStill(t *testing.T) {
	for seed := range uint64(10) {
		h := simtest.Run(t, settingsOf(t, "wing")+"0s signal on\n0s inner middle\n20s end", seed)
		lines, refused := boardLines(t, h, 1)
		require.Zero(t, refused)
		byOutput := map[int][]int64{}
		for _, l := range lines {
			if !l.about && l.at > second {
				byOutput[l.output] = append(byOutput[l.output], l.width)
			}
		}
		require.Len(t, byOutput, 4)
		for output, some := range byOutput {
			assert.Less(t, spreadOf(some), 26*us/10, "output %d", output)
			assert.NotZero(t, spreadOf(some), "output %d: no receiver is that good", output)
		}
	}
}

const bareLeads = "channel 1 aileron 1500\nchannel 11 inner 988\nplace inner back 988\nplace inner front 2012\n" +
	"hands steady\nreceiver main hold\nboard leads of main\n"

// A change reaches the pulse after the delay, and the wait for the output's turn.
func TestDelay(t *testing.T) {
	first := func(delay, every int64, seed uint64) int64 {
		h := simtest.Run(t, fmt.Sprintf("%sservos delay %dms\noutput 1 by inner 100%% every %dms\n", bareLeads, delay,
			every)+"0s signal on\n2s inner front\n3s end", seed)
		for _, p := range h.Sim.Pulses() {
			if p.Width > 2000*us {
				return p.Rise - 2*second
			}
		}
		require.Fail(t, "it never got there")
		return 0
	}
	for seed := range uint64(10) {
		for delay, every := range map[int64]int64{3: 20, 15: 5, 20: 3} {
			got := first(delay, every, seed)
			assert.GreaterOrEqual(t, got, delay*ms)
			assert.LessOrEqual(t, got, (delay+every)*ms+packet+ms, "no later than a packet's and an output's turn")
		}
		assert.Equal(t, 12*ms, first(15, 20, seed)-first(3, 20, seed))
	}
}

func TestLimitsClampAndNeutralShifts(t *testing.T) {
	h := simtest.Run(t, bareLeads+"output 1 by aileron 100% limits 1100 1850\noutput 2 by aileron -50% neutral 1520\n"+
		"0s signal on\n1s stick aileron 988 over 500ms\n2s stick aileron 2012 over 500ms\n3s stick aileron 1500 over 500ms\n4s end", 3)
	assert.InDelta(t, 1100, mean(t, seen(h, 1, 1600*ms, 2*second)), 1)
	assert.InDelta(t, 1850, mean(t, seen(h, 1, 2600*ms, 3*second)), 1)
	assert.InDelta(t, 1500, mean(t, seen(h, 1, 3600*ms, 4*second)), 1)
	assert.InDelta(t, 1520+256, mean(t, seen(h, 2, 1600*ms, 2*second)), 1)
	assert.InDelta(t, 1520-256, mean(t, seen(h, 2, 2600*ms, 3*second)), 1)
	assert.InDelta(t, 1520, mean(t, seen(h, 2, 3600*ms, 4*second)), 1)
}

// Outputs rise together or one after the other, each at its own pace.
func TestPaceAndOrder(t *testing.T) {
	const outputs = "output 1 by aileron 100%\noutput 2 by aileron 50%\noutput 7 by aileron 25% every 3ms\n0s signal on\n1s stick aileron 988 over 100ms\n10s end"
	rises := func(servos string) map[int][]int64 {
		all := map[int][]int64{}
		for _, p := range simtest.Run(t, bareLeads+servos+outputs, 3).Sim.Pulses() {
			all[p.Output] = append(all[p.Output], p.Rise)
		}
		return all
	}
	together, apart := rises("servos together\n"), rises("")
	for _, all := range []map[int][]int64{together, apart} {
		for output, every := range map[int]int64{1: 20 * ms, 2: 20 * ms, 7: 3 * ms} {
			steps := all[output]
			require.InDelta(t, 10*second/every, len(steps), 3)
			assert.InDelta(t, every, float64(steps[len(steps)-1]-steps[0])/float64(len(steps)-1), float64(every)/10_000)
		}
	}
	assert.Equal(t, together[1], together[2])
	for i, rise := range apart[2] {
		assert.Equal(t, 2300*us, rise-apart[1][i])
	}
}

// In failsafe each output does what it was set to, and an output of a receiver
// that has no power is silent.
func TestOutputsOnLoss(t *testing.T) {
	const outputs = "board leads of main\noutput 1 by aileron 100%\noutput 2 by aileron 100% loss stops\noutput 3 by aileron 100% loss holds\n" +
		"1s signal on\n2s stick aileron 1800 over 300ms\n4s signal off\n8s signal on\n10s power main off\n12s power main on\n14s end"
	const channel = "channel 1 aileron 1500\nhands steady\n"
	for receiver, fails := range map[string]float64{
		"receiver main preset after 900ms\npreset main aileron 1300\n": 1300,
		"receiver main hold after 900ms\n":                             1800,
		"receiver main silent after 900ms\n":                           0,
	} {
		h := simtest.Run(t, channel+receiver+outputs, 4)
		for output, want := range map[int]float64{1: fails, 2: 0, 3: 1800} {
			if lost := seen(h, output, 5*second, 8*second); want == 0 {
				assert.Empty(t, lost, "%s output %d", receiver, output)
			} else {
				assert.InDelta(t, want, mean(t, lost), 1, "%s output %d", receiver, output)
				assert.Len(t, lost, 150)
			}
			assert.InDelta(t, 1800, mean(t, seen(h, output, 3*second, 4800*ms)), 1, "until failsafe")
			assert.InDelta(t, 1800, mean(t, seen(h, output, 8200*ms, 10*second)), 1, "afterwards")
			assert.Empty(t, seen(h, output, 10100*ms, 12*second), "without power")
			assert.InDelta(t, 1800, mean(t, seen(h, output, 12500*ms, 14*second)), 1, "with power again")
		}
		assert.Empty(t, seen(h, 2, 0, second), "no link yet")
	}
}

// The leads change nothing on the bus.
func TestLeadsLeaveTheBusAlone(t *testing.T) {
	with, err := simtest.Named(t, "good").With("board leads of main\noutput 1 by aileron 100%")
	require.NoError(t, err)
	bare, leads := simtest.Play(simtest.Named(t, "good"), 3), simtest.Play(with, 3)
	assert.Equal(t, bare.Bytes(0), leads.Bytes(0))
	assert.Equal(t, bare.Sim.Truth(), leads.Sim.Truth())
	assert.NotEmpty(t, leads.Bytes(1))
}

// The same bytes whatever the steps of Advance, scripted or driven.
func TestLeadsDrivenAsScripted(t *testing.T) {
	vtail := simtest.Named(t, "vtail")
	want := simtest.Play(vtail, 11)
	for _, step := range []int64{ms / 3, 7 * ms, second} {
		sim := world.New(&vtail.Plan, 11)
		sim.KeepTruth = true
		var got []world.Delivery
		for now := int64(0); now < sim.Length()+second; now += step {
			got = append(got, sim.Advance(now)...)
		}
		require.Equal(t, want.Deliveries, got)
		require.Equal(t, want.Sim.Pulses(), sim.Pulses())
	}

	text := settingsOf(t, "elevon") + "hands varied\n"
	scripted := simtest.Run(t, text+"0s signal on\n1s tilt pitch 20 over 300ms\n2s tilt pitch 0 over 300ms\n2500ms restart leads\n3s end", 2)
	sim := script.Drive(simtest.ParseDriven(t, text), 2)
	var got []world.Delivery
	for _, s := range []struct {
		at   int64
		line string
	}{{0, "signal on"}, {second, "tilt pitch 20 over 300ms"}, {2 * second, "tilt pitch 0 over 300ms"}, {2500 * ms, "restart leads"}} {
		got = append(got, sim.Advance(s.at)...)
		require.NoError(t, sim.Say(s.at, s.line))
	}
	got = append(got, sim.Advance(3*second)...)
	end := slices.IndexFunc(scripted.Deliveries, func(d world.Delivery) bool { return d.At >= 3*second })
	require.Positive(t, end)
	assert.Equal(t, scripted.Deliveries[:end], got)
}
