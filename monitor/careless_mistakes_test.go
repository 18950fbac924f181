package monitor_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sim/operator"
)

// sticks are mistakes with a hand that has nothing else to do, which drills that hold
// the model or switch the receiver don't leave room for.
var sticks = []operator.Slip{operator.WrongStick, operator.WrongKey, operator.TwoSwitches, operator.TrimOff, operator.Repeat, operator.Back}

// Each drill is done by hands that make each mistake in it that can be made there: it
// ends, no line is false, and what is not seen right is open and says what is lacking.
func TestEachDrillWithEachMistake(t *testing.T) {
	for _, x := range []struct {
		drill string
		not   []operator.Slip // what can't be made in it
		right []string        // claims that it shows all the same
	}{
		{"mode", []operator.Slip{operator.Pause}, []string{"mode/mode-0/*"}},
		{"gain", nil, []string{"gain/span", "gain/half"}},
		{"order", nil, []string{"order/*"}},
		{"ends", nil, []string{"travel/aileron/*", "travel/elevator/*", "travel/rudder/*"}},
		// In these an Enter is the builder's word: one too early is a lie.
		{"neutral", []operator.Slip{operator.EarlyEnter, operator.WrongKey, operator.HastyEnter, operator.Pause}, []string{"neutral/*"}},
		{"limit-learning", []operator.Slip{operator.EarlyEnter, operator.WrongKey, operator.HastyEnter}, nil},
		{drill.Failsafe, append([]operator.Slip{operator.EarlyEnter}, sticks...), []string{"failsafe/flag"}},
		{drill.PowerUp, append([]operator.Slip{operator.EarlyEnter, operator.HastyEnter, operator.Pause}, sticks...), nil},
		{drill.Response, []operator.Slip{operator.Pause}, nil},
		{drill.Correction, nil, nil},
		{drill.Range, []operator.Slip{operator.Pause}, nil},
		{drill.Stir, nil, nil},
		{drill.Levelling, []operator.Slip{operator.Pause, operator.EarlyEnter, operator.WrongKey, operator.HastyEnter}, nil},
		{drill.KeepStill, append([]operator.Slip{operator.EarlyEnter, operator.HastyEnter, operator.Pause}, sticks...), []string{"levelling/after-power-up"}},
		{drill.Righting, []operator.Slip{operator.Pause}, []string{"righting/rests"}},
	} {
		t.Run(x.drill, func(t *testing.T) {
			t.Parallel()
			d := newDrilled(t, craftFor(x.drill), &broken{}, 3)
			d.careless, d.garbled = 100, spikesAreMany // none more
			d.left = slices.DeleteFunc(operator.Slips(), func(m operator.Slip) bool { return slices.Contains(x.not, m) })
			d.free()
			for round := 0; round == 0 || len(d.left) > 0 && round < 6; round++ {
				d.drill(x.drill)
				assert.Equal(t, "finished", d.how[x.drill])
			}
			assert.Empty(t, d.left, "mistakes that were not made")
			claims := d.ends()
			assert.Empty(t, d.falsely(nil))
			for id, cl := range claims {
				if owned(x.right, id) {
					assert.Equal(t, claim.VerdictRight, cl.Verdict, "%s: %s", id, cl.Sentence)
				}
				if cl.Verdict == claim.VerdictOpen {
					assert.NotEmpty(t, strings.TrimSpace(cl.Sentence+cl.Settle.String()), "%s says what is lacking", id)
				}
			}
			if t.Failed() {
				d.keep("mistakes in "+x.drill, &broken{})
			}
		})
	}
}

// fullCraft is a model with a motor, two switches, a gain knob and a heartbeat.
func fullCraft() *craft {
	for seed := uint64(0); ; seed++ {
		if c := newCraft(seed); c.throttled() && len(c.levers) == 2 && c.gain == "knob" && c.beats && c.soak.section != "" {
			return c
		}
	}
}

// craftFor is a full craft that has a drill.
func craftFor(name string) *craft {
	c := fullCraft()
	c.rescue, c.levels = name == drill.Righting, name == drill.Levelling || name == drill.KeepStill
	return c
}
