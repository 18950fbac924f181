package metrics

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
)

// Verdicts are the words of the label verdict, in the order in which they are shown.
func Verdicts() []string {
	return []string{event.VerdictOpen, event.VerdictRight, event.VerdictWrong, event.VerdictStale}
}

// claims are the families of what the sheet claims.
func claims() []family {
	return []family{
		gauge("claims", "Claims of the sheet by verdict.", []string{"verdict"}, func(s *state.State, show show) {
			count := s.VerdictCount()
			for i, n := range []int{count.Open, count.Right, count.Wrong, count.Stale} {
				show(float64(n), Verdicts()[i])
			}
		}),
		gauge("claim_verdict", "1 for the verdict of each claim as judged so far.", []string{"claim", "verdict"}, func(s *state.State, show show) {
			for i := range s.Claims {
				show(1, s.Claims[i].ID, s.Claims[i].Verdict)
			}
		}),
	}
}
