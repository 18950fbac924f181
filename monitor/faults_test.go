package monitor_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/claim"
)

func TestTheCorrectModelIsSeenWrongInNothing(t *testing.T) {
	sh := starter(t)
	for seed := range uint64(20) {
		s := &sitting{rng: rand.New(rand.NewPCG(seed, 1))}
		s.free()
		s.drills(sh)
		s.loss()
		claims, text := judgeSitting(t, sh, s, "receiver main preset\n", seed)
		for id, c := range claims {
			if c.Verdict == claim.Wrong {
				t.Errorf("seed %d: %s: %s", seed, id, c.Sentence)
			}
			if c.Verdict == claim.Open && seed == 0 {
				t.Logf("open: %s: %s", id, c.Sentence)
			}
		}
		require.NotEmpty(t, text)
	}
}
