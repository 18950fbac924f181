package metrics

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
)

// Verdicts are the words of the label verdict.
func Verdicts() []string {
	return []string{event.VerdictOpen, event.VerdictRight, event.VerdictWrong, event.VerdictStale}
}

// claims are the families of what the sheet claims.
func claims() []family {
	return []family{
		gauge("claims", "Claims of the sheet by verdict.", []string{"verdict"}, func(s *state.State, show show) {
			count := map[string]int{}
			for i := range s.Claims {
				count[s.Claims[i].Verdict]++
			}
			for _, v := range Verdicts() {
				show(float64(count[v]), v)
			}
		}),
		gauge("claim_verdict", "1 for the verdict of each claim as judged so far.", []string{"claim", "verdict"}, func(s *state.State, show show) {
			for i := range s.Claims {
				show(1, s.Claims[i].ID, s.Claims[i].Verdict)
			}
		}),
	}
}
