package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// calm is a sitting of 20 s in which hands stir and flip, and nothing goes wrong.
func calm(t *testing.T) *scene {
	s := &sitting{rng: rand.New(rand.NewPCG(1, 1))}
	s.do("signal on")
	s.at = 3e9
	s.do("inner middle")
	s.at = 4e9
	s.do("stir aileron elevator for 4s")
	s.at = 20e9
	text := model + "receiver main preset\n" + presets + s.steps.String() + fmt.Sprintf("%dms end\n", s.at.Milliseconds())
	scripted, err := script.Parse("calm", []byte(text))
	require.NoError(t, err)
	sim := world.New(&scripted.Plan, 1)
	sim.KeepTruth = true
	sim.Advance(sim.Length() + 1)
	w := newWorld(starter(t), s, sim, 0)
	w.period = 7 * unit.Millisecond
	return w
}

// lies are events that a calm sitting has nothing of, one for each kind that is judged.
var lies = map[string]any{
	event.BusLate:   event.LateData{Frames: 9},
	event.LineFault: event.LineFaultData{Cause: "nothing"},
	event.BusSilent: event.SilentData{}, event.RangeMark: event.RangeMarkData{Tap: "main", Mark: "10 m", Left: true, Frames: 40, Missed: 3, Runs: 1, Longest: 3},
	event.AirMissed: event.FramesMissingData{Frames: 3}, event.WireGap: event.FramesMissingData{Frames: 1},
	event.BusExposure: event.ExposureData{Tap: "main", LiveNS: 5 * unit.Second},
	event.WireDamaged: event.DamageData{BadFrames: 1}, event.PeriodChanged: event.PeriodData{PeriodNS: 8 * unit.Millisecond},
	event.FailsafeEntered: event.FailsafeData{AfterNS: unit.Second}, event.FailsafeSettled: event.FailsafeSettledData{},
	event.SwitchMoved:   event.SwitchData{Tap: "main", WidthNS: 2_012_000, Signal: event.SignalLive},
	event.ModeAsked:     event.ModeData{Tap: "main", Mode: "upright", Widths: map[string]unit.Width{"inner": 2_012_000}, Signal: event.SignalLive},
	event.ValuesJumped:  event.JumpData{Tap: "main", Channels: []int{1, 2, 3}, From: []uint32{992, 992, 992}, To: []uint32{200, 200, 200}},
	event.GestureMade:   event.GestureData{Tap: "main", Gesture: "limit-learning", Times: 3},
	event.TravelClipped: event.TravelClippedData{Tap: "main", Channel: 1, Short: true},
	event.TravelFree:    event.TravelClippedData{Tap: "main", Channel: 1, WidthNS: 880_000},
	event.LinkLost:      event.LinkData{}, event.LinkRestored: event.LinkData{}, event.ValuesPaused: event.ValuesStillData{Tap: "main", ForNS: 2 * unit.Second},
	event.ValuesStill: event.ValuesStillData{Tap: "main", ForNS: unit.Second}, event.ValueSpiked: event.ValueSpikedData{Tap: "main", Channel: 1, Frames: 1},
	event.GainSwept: event.GainSweptData{Tap: "main", Channel: 9, FromNS: 1_756_000, ToNS: 2_012_000,
		LeastNS: 1_756_000, MostNS: 2_012_000, Signal: event.SignalLive},
	event.LossMeasured:    event.LossData{Tap: "main", Class: event.LossHold, LiveNS: unit.Time(9 * unit.Second)},
	event.PowerUpMeasured: event.PowerUpData{Tap: "main", Off: true}, event.SoakCounted: event.SoakData{Tap: "main", Occasions: 1},
}

// believedAnyway are kinds that no sitting with live frames makes false by itself.
var believedAnyway = []string{
	event.BusExposure, event.ValuesPaused,
	event.SessionBegan, event.SessionEnded, event.Mark, event.Reopened, event.VerdictChanged, event.TapUp, event.BusLocked,
	event.FailsafeLeft, event.ValuesMoving,
	event.DrillBegan, event.DrillPrompted, event.DrillHint, event.DrillAnswered, event.DrillEnded, event.DrillRefused,
	event.LevelLearned, event.LimitsLearned, event.PapersChanged,
}

func TestTheOracleSeesThroughLies(t *testing.T) {
	w := calm(t)
	for kind, r := range eventRules {
		if r == nil || slices.Contains(believedAnyway, kind) {
			continue
		}
		e := &event.Event{Kind: kind, From: unit.Time(9900 * unit.Millisecond), At: unit.Time(10 * unit.Second), About: "switch:inner", Data: lies[kind]}
		if kind == event.ValuesPaused {
			e.From = unit.Time(5 * unit.Second) // hands stir
		}
		assert.NotEmpty(t, r(w, e), "%s: why it is false", kind)
	}
}

func TestTheOracleSeesThroughVerdicts(t *testing.T) {
	w := calm(t)
	for _, x := range []struct {
		id      string
		verdict claim.Verdict
		lie     bool
	}{
		{"position/inner/middle", claim.VerdictRight, false},
		{"position/inner/back", claim.VerdictRight, false}, // it came from there
		{"position/inner/front", claim.VerdictRight, true},
		{"position/outer/back", claim.VerdictRight, true}, // it never moved
		{"position/inner/middle", claim.VerdictWrong, true},
		{"margin/plain/middle", claim.VerdictRight, false},
		{"mode/upright/front/back", claim.VerdictRight, true},
		{"passing/upright", claim.VerdictRight, false},
		{"passing/upright", claim.VerdictWrong, true},
		{"momentary/teach", claim.VerdictRight, true},
		{"gain/span", claim.VerdictWrong, true},
		{"order/aileron", claim.VerdictRight, false},
		{"order/rudder", claim.VerdictRight, true},
		{"gesture/limit-learning", claim.VerdictRight, true},
		{"gesture/limit-learning", claim.VerdictWrong, true},
		{"link/moving", claim.VerdictWrong, true},
		{"link/missed", claim.VerdictRight, false},
		{"link/missed", claim.VerdictWrong, true},
		{"link/spikes", claim.VerdictWrong, true},
		{"failsafe/flag", claim.VerdictRight, true},
		{"failsafe/throttle", claim.VerdictWrong, true},
		{"failsafe/mode", claim.VerdictWrong, true},
		{"failsafe/back", claim.VerdictRight, true},
		{"powerup/throttle", claim.VerdictRight, true},
		{"powerup/throttle", claim.VerdictWrong, true},
		{"unheard-of", claim.VerdictOpen, true},
	} {
		why := w.verdict(x.id, x.verdict, w.end)
		assert.Equal(t, x.lie, why != "", "%s %s: %s", x.id, x.verdict, why)
	}
}
