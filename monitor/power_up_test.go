package monitor_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/script"
	"benchproof.example/monitor/sim/world"
)

// powerUpDrill goes through the power-up drill as its prompts ask. A builder whose
// hands forget the supply switches only the transmitter off.
func (s *sitting) powerUpDrill(t *testing.T, sh *sheet.Sheet, supply bool) {
	p, ok := drill.Find(drill.Plans(sh), drill.PowerUp)
	require.True(t, ok)
	s.say(p.Name, event.StepBegin, "")
	s.wait(300*time.Millisecond, 600*time.Millisecond)
	s.say(p.Name, event.StepConfirm, "")
	for _, prompt := range p.Prompts {
		s.wait(400*time.Millisecond, 900*time.Millisecond)
		switch event.PromptPart(prompt.ID) {
		case event.PromptOff:
			s.do("signal off")
			if supply {
				s.wait(300*time.Millisecond, 900*time.Millisecond)
				s.do("power main off")
			}
			s.wait(1500*time.Millisecond, 2500*time.Millisecond)
			s.say(p.Name, event.StepDone, prompt.ID)
		case event.PromptOn:
			if supply {
				s.do("power main on")
			}
			s.at += 11 * time.Second
		}
	}
}

// switchedOn plays a power-up drill and returns the claim on the throttle.
func switchedOn(t *testing.T, setup string, supply bool, seed uint64) *claim.Claim {
	sh, s := starter(t), &sitting{rng: rand.New(rand.NewPCG(seed, 2))}
	s.do("signal on")
	s.wait(1500*time.Millisecond, 2500*time.Millisecond)
	s.powerUpDrill(t, sh, supply)
	text := model + setup + s.steps.String() + fmt.Sprintf("%dms end\n", s.at.Milliseconds())
	scripted, err := script.Parse("power-up", []byte(text))
	require.NoError(t, err, text)
	ends := []string{}
	b := s.judge(sh, world.New(&scripted.Plan, seed), func(e *event.Event, _ int64) {
		if d, ok := e.Data.(event.DrillEndedData); ok {
			ends = append(ends, d.How)
		}
	})
	require.Equal(t, []string{"finished"}, ends)
	for _, c := range b.Claims() {
		if c.ID == "powerup/throttle" {
			return c
		}
	}
	require.Fail(t, "no claim on the throttle")
	return nil
}

func TestAReceiverThatIsSwitchedOnAlone(t *testing.T) {
	const left = "switched on without its transmitter, the receiver left throttle at 988"
	kinds := map[string]string{}
	for _, k := range script.Receivers() {
		kinds[k.Name] = k.Setup
	}
	for _, x := range []struct {
		name, kind string
		supply     bool
		want       claim.Verdict
		says       string
	}{
		{"flagged, at its presets", "wakes-flagged", true, claim.VerdictRight, left},
		{"as in failsafe", "preset", true, claim.VerdictRight, left},
		{"flagged, at neutral", "wakes-neutral", true, claim.VerdictWrong, "the receiver sent 1500.3 µs for throttle, 512.3 µs above cut: set its failsafe"},
		{"silent", "wakes-silent", true, claim.VerdictOpen, "the receiver sent nothing on the bus; whether the motor stays dead is for the eye"},
		{"unflagged", "wakes-unflagged", true, claim.VerdictOpen, "no frame was flagged: whether the transmitter was really off is not on the bus"},
		{"throttle above cut", "throttle-above-cut", true, claim.VerdictWrong, "above cut: set its failsafe"},
		{"its supply was never cut", "preset", false, claim.VerdictOpen, "the bus did not fall silent, so the receiver was not switched off"},
	} {
		t.Run(x.name, func(t *testing.T) {
			t.Parallel()
			require.Contains(t, kinds, x.kind)
			for seed := range seeds(t) {
				c := switchedOn(t, kinds[x.kind], x.supply, seed)
				require.Equal(t, x.want, c.Verdict, "seed %d: %s", seed, c.Sentence)
				require.Contains(t, c.Sentence, x.says, "seed %d", seed)
			}
		})
	}
}
