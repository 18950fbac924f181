package world_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/sim/simtest"
	"benchproof.example/monitor/sim/world"
)

// A plan may be built without a script: it is plain data, and plays as the text that says
// the same.
func TestPlanIsPlainData(t *testing.T) {
	p := world.NewPlan()
	p.Hands.Varied = true
	p.Channels = []world.ChannelPlan{
		{Number: 0, Name: "aileron", Start: 1500 * us, Low: 1000 * us, High: 2000 * us},
		{
			Number: 6, Name: "aid", Start: 1040 * us, Low: 988 * us, High: 2012 * us,
			Places: []world.Place{{Name: "first", Width: 1040 * us}, {Name: "second", Width: 1330 * us}},
		},
	}
	p.Receivers = []world.ReceiverPlan{world.NewReceiverPlan("main", world.LossPreset)}
	p.Receivers[0].Presets[6] = world.Spread{Low: 1100 * us, High: 1200 * us}
	p.Receivers[0].Loss, p.Receivers[0].Burst = 0.02, 3
	p.Faults = []world.Fault{world.LagFault{Channel: 0, Lasts: 200 * ms}}
	p.Steps = []world.Step{
		{At: 0, Do: world.SwitchTransmitter{On: true}},
		{At: 2 * second, Do: world.MoveStick{Channel: 0, To: 1900 * us, Over: 300 * ms}},
		{At: 3 * second, Do: world.SetLever{Channel: 1, Place: 1}},
		{At: 4 * second, Do: world.GarbleFrames{Receiver: 0, Plan: world.GarblePlan{Frames: 2, Widths: map[int]int64{0: 1000 * us}}}},
		{At: 5 * second, Do: world.SwitchTransmitter{}},
	}
	p.Length = 8 * second
	require.Equal(t, []world.Tap{{Name: "main", Kind: world.Bus}}, p.Taps())

	same := simtest.Parse(t, `hands varied
channel 1 aileron 1500 stops 1000 2000
channel 7 aid 1040
place aid first 1040
place aid second 1330
receiver main preset
preset main aid 1100..1200
link main loss 2% burst 3
fault lags aileron 200ms
0s signal on
2s stick aileron 1900 over 300ms
3s aid second
4s garble main 2 frames aileron 1000
5s signal off
8s end
`)
	assert.Equal(t, same.Plan, p)
	for seed := range uint64(5) {
		sim := world.New(&p, seed)
		assert.Equal(t, simtest.Play(same, seed).Deliveries, sim.Advance(9*second))
	}
}
