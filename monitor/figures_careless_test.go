package monitor_test

import (
	"cmp"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/operator"
	"benchproof.example/monitor/unit"
)

// careless follows the drill of degrees with a mistake at every other prompt, and gives the claims.
func (m *measuring) careless() []*claim.Claim {
	m.do("signal on")
	m.run(3 * unit.Second)
	m.do("stick gain %d over 500ms", m.gain)
	m.run(unit.Second)
	m.ended = false
	m.say(drill.Degrees, event.StepBegin, "")
	m.run(unit.Second)
	m.say(drill.Degrees, event.StepConfirm, "")
	standing, first, slipped, again := "", "", 0, unit.Never
	for deadline := m.at.Add(40 * unit.Minute); !m.ended; {
		require.Less(m.t, m.at, deadline, "the drill ends, after %s", standing)
		if len(m.prompts) == 0 && m.at < again {
			m.run(20 * unit.Millisecond)
			continue
		}
		stands := len(m.prompts) == 0
		if !stands {
			standing = m.prompts[len(m.prompts)-1]
			first = cmp.Or(first, standing)
		}
		m.prompts = nil
		steps := m.hands.Follow(standing)
		if stands { // it was done before, and the wire can't show it again
			steps = append(steps, operator.Step{Wait: time.Second, Enter: true})
		} else if slips := operator.Slips(); m.rng.IntN(2) == 0 && slipped < 30 && standing != first { // who goes back there is refused
			steps, _ = m.hands.FollowWithSlip(standing, slips[m.rng.IntN(len(slips))])
			slipped++
		}
		m.followsUntilAnother(standing, steps)
		again = m.at.Add(15 * unit.Second) // it asks once more: they do it once more
	}
	return m.engine.Claims()
}

// followsUntilAnother does the steps of a prompt for as long as it stands.
func (m *measuring) followsUntilAnother(prompt string, steps []operator.Step) {
	for _, step := range steps {
		m.run(unit.Duration(step.Wait))
		goneOn := len(m.prompts) > 0 || m.ended
		if step.Do != "" && (!goneOn || strings.HasPrefix(step.Do, "trim") || strings.HasPrefix(step.Do, "release")) { // they still tidy up
			m.do("%s", step.Do)
		}
		if goneOn {
			continue
		}
		if step.Enter {
			m.tell(drill.Degrees, prompt, step.Words)
		}
		if step.Key != "" {
			m.say(drill.Degrees, step.Key, prompt)
		}
	}
}

// Hands that press too early, move sticks and trims, go back and begin anew accuse no correct model.
func TestCarelessHandsAccuseNobodyInFigures(t *testing.T) {
	for _, seed := range seedsFrom(t, 3, 1) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			d := drawStabilised(seed)
			setup := fmt.Sprintf("receiver main preset\ngyro dead %d\n", d.dead)
			m := measures(t, airframes[seed%uint64(len(airframes))], "degrees, level", setup, seed)
			m.gain, m.asks = d.gain, true
			m.hands.Home = []string{"inner back", "outer back"}
			for _, c := range m.careless() {
				if f := string(c.Family); f == "degrees" || f == "entered" || f == "level" {
					assert.NotEqual(t, claim.VerdictWrong, c.Verdict, "%s: %s", c.ID, c.Sentence)
				}
			}
			assert.True(t, strings.HasPrefix(m.rests[0].Prompt, "degrees/"))
		})
	}
}
