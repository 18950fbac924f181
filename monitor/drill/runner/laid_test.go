package runner_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

const levellingLine = "\nlevelling: {starts: go, sides: [flat, nose up], rests: 3s}\nheartbeat:"

// lays follows the levelling drill: how the elevator's output goes while hands lay the model, and while it lies, ns.
func lays(t *testing.T, laid, lying unit.Width, stick bool) []event.LevelData {
	r := newRig(t, starter(t, "\nheartbeat:", levellingLine))
	r.hear(unit.Second)
	r.start("levelling")
	r.done()
	for range 2 {
		r.pulses(unit.Second, lead{2, 1_500_000, 0})
		r.pulses(unit.Second, lead{2, 1_500_000 + laid, 0})
		if stick {
			r.set("elevator", 1700)
		}
		r.hear(200 * unit.Millisecond)
		r.set("elevator", 1500)
		r.hear(200 * unit.Millisecond)
		r.pulses(unit.Second, lead{2, 1_500_000, 0})
		r.done()
		r.pulses(2*unit.Second, lead{2, 1_500_000, 0})
		r.pulses(200*unit.Millisecond, lead{2, 1_500_000 + lying, 0})
		r.pulses(2*unit.Second, lead{2, 1_500_000, 0})
		r.pass(unit.Second)
	}
	r.done()
	r.pass(unit.Second)
	var list []event.LevelData
	for _, e := range r.events {
		if d, ok := e.Data.(event.LevelData); ok {
			list = append(list, d)
		}
	}
	return list
}

func TestHowTheModelLay(t *testing.T) {
	for name, x := range map[string]struct {
		laid, lying unit.Width
		stick       bool
		want        event.Stillness
		stray       unit.Width
	}{
		"outputs answered hands and stood":      {40_000, 0, false, event.StillSeen, 0},
		"they answered just enough":             {30_000, 0, false, event.StillSeen, 0},
		"they did not":                          {29_000, 0, false, event.StillCounted, 0},
		"they strayed as outputs do":            {40_000, 8_000, false, event.StillSeen, 0},
		"they moved":                            {40_000, 9_000, false, event.StillMoved, 9_000},
		"they moved and had answered nobody":    {0, 50_000, false, event.StillCounted, 0},
		"a stick was moved, perhaps not a hand": {40_000, 0, true, event.StillCounted, 0},
	} {
		t.Run(name, func(t *testing.T) {
			list := lays(t, x.laid, x.lying, x.stick)
			require.Len(t, list, 1)
			require.Len(t, list[0].Sides, 2)
			for i, side := range []string{"flat", "nose up"} {
				got := list[0].Sides[i]
				assert.Equal(t, side, got.Side)
				assert.Equal(t, x.want, got.Still)
				assert.Equal(t, x.stray, got.StrayNS)
				assert.GreaterOrEqual(t, got.LastsNS, 4*unit.Second)
			}
		})
	}
}

// What is abandoned leaves no record.
func TestAbandonedLevellingIsNotRecorded(t *testing.T) {
	r := newRig(t, starter(t, "\nheartbeat:", levellingLine))
	r.hear(unit.Second)
	r.start("levelling")
	r.done()
	r.done()
	r.pulses(5*unit.Second, lead{2, 1_500_000, 0})
	r.step("levelling", event.StepAbandon)
	for _, e := range r.events {
		assert.NotEqual(t, event.LevelLearned, e.Kind)
	}
}
