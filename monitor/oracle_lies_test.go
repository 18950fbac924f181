package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/standin"
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
	script, err := standin.Parse("calm", []byte(text))
	require.NoError(t, err)
	sim := standin.New(script, 1)
	sim.KeepTruth = true
	sim.Advance(sim.Length() + 1)
	w := newWorld(starter(t), s, sim, 0)
	w.period = 7 * fact.Millisecond
	return w
}

// lies are events that a calm sitting has nothing of, one for each kind that is judged.
var lies = map[string]any{
	fact.BusLate:   fact.LateData{Frames: 9},
	fact.BusSilent: fact.SilentData{}, fact.AirMissed: fact.FramesMissingData{Frames: 3}, fact.WireGap: fact.FramesMissingData{Frames: 1},
	fact.BusWatched:  fact.WatchedData{Tap: "main", LiveNS: 5 * fact.Second},
	fact.WireDamaged: fact.DamageData{BadFrames: 1}, fact.PeriodChanged: fact.PeriodData{PeriodNS: 8 * fact.Millisecond},
	fact.FailsafeEntered: fact.FailsafeData{AfterNS: fact.Second}, fact.FailsafeSettled: fact.FailsafeSettledData{},
	fact.SwitchMoved:   fact.SwitchData{Tap: "main", WidthNS: 2_012_000, Signal: fact.Live},
	fact.ModeAsked:     fact.ModeData{Tap: "main", Mode: "upright", Widths: map[string]int64{"inner": 2_012_000}, Signal: fact.Live},
	fact.ValuesJumped:  fact.JumpData{Tap: "main", Channels: []int{1, 2, 3}, From: []uint16{992, 992, 992}, To: []uint16{200, 200, 200}},
	fact.GestureMade:   fact.GestureData{Tap: "main", Gesture: "limit-learning", Times: 3},
	fact.TravelClipped: fact.TravelClippedData{Tap: "main", Channel: 1, Short: true}, fact.TravelFree: fact.TravelClippedData{Tap: "main", Channel: 1, WidthNS: 880_000},
	fact.LinkLost: fact.LinkData{}, fact.LinkRestored: fact.LinkData{}, fact.ValuesPaused: fact.ValuesStillData{Tap: "main", ForNS: 2 * fact.Second},
	fact.ValuesStill: fact.ValuesStillData{Tap: "main", ForNS: fact.Second}, fact.ValueSpiked: fact.ValueSpikedData{Tap: "main", Channel: 1, Frames: 1},
	fact.GainSwept:       fact.GainSweptData{Tap: "main", Channel: 9, FromNS: 1_756_000, ToNS: 2_012_000, LeastNS: 1_756_000, MostNS: 2_012_000, Signal: fact.Live},
	fact.LossMeasured:    fact.LossData{Tap: "main", Class: fact.LossHold, LiveNS: 9 * fact.Second},
	fact.PowerUpMeasured: fact.PowerUpData{Tap: "main", Off: true},
}

// believedAnyway are kinds that no sitting with live frames makes false by itself.
var believedAnyway = []string{
	fact.BusWatched, fact.ValuesPaused,
	fact.SessionBegan, fact.SessionEnded, fact.MarkMade, fact.Reopened, fact.VerdictChanged, fact.TapCame, fact.BusLocked,
	fact.FailsafeLeft, fact.ValuesMoving,
	fact.DrillBegan, fact.DrillPrompted, fact.DrillHint, fact.DrillAnswered, fact.DrillEnded, fact.DrillRefused,
}

func TestTheOracleSeesThroughLies(t *testing.T) {
	w := calm(t)
	for kind, r := range eventRules {
		if r == nil || slices.Contains(believedAnyway, kind) {
			continue
		}
		e := &fact.Event{Kind: kind, From: 9900 * fact.Millisecond, At: 10 * fact.Second, About: "switch:inner", Data: lies[kind]}
		if kind == fact.ValuesPaused {
			e.From = 5 * fact.Second // hands stir
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
		{"position/inner/middle", claim.Right, false},
		{"position/inner/back", claim.Right, false}, // it came from there
		{"position/inner/front", claim.Right, true},
		{"position/outer/back", claim.Right, true}, // it never moved
		{"position/inner/middle", claim.Wrong, true},
		{"margin/plain/middle", claim.Right, false},
		{"mode/upright/front/back", claim.Right, true},
		{"passing/upright", claim.Right, false},
		{"passing/upright", claim.Wrong, true},
		{"momentary/teach", claim.Right, true},
		{"gain/span", claim.Wrong, true},
		{"order/aileron", claim.Right, false},
		{"order/rudder", claim.Right, true},
		{"gesture/limit-learning", claim.Right, true},
		{"gesture/limit-learning", claim.Wrong, true},
		{"link/moving", claim.Wrong, true},
		{"link/missed", claim.Right, false},
		{"link/missed", claim.Wrong, true},
		{"link/spikes", claim.Wrong, true},
		{"failsafe/flag", claim.Right, true},
		{"failsafe/throttle", claim.Wrong, true},
		{"failsafe/mode", claim.Wrong, true},
		{"failsafe/back", claim.Right, true},
		{"powerup/throttle", claim.Right, true},
		{"powerup/throttle", claim.Wrong, true},
		{"unheard-of", claim.Open, true},
	} {
		why := w.verdict(x.id, x.verdict, w.end)
		assert.Equal(t, x.lie, why != "", "%s %s: %s", x.id, x.verdict, why)
	}
}
