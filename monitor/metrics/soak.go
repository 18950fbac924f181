package metrics

import "benchproof.example/monitor/state"

// perAccount reads a family bus by bus from the account of a long run.
func perAccount(read func(*state.TapAccount) float64) func(*state.State, show) {
	return func(s *state.State, show show) {
		if s.Account == nil {
			return
		}
		for i := range s.Account.Taps {
			show(read(&s.Account.Taps[i]), s.Account.Taps[i].Name)
		}
	}
}

// ofGoal reads a family from the goal that was declared before a long run; absent where none was.
func ofGoal(read func(*state.SoakGoal) float64) func(*state.State, show) {
	return func(s *state.State, show show) {
		if s.Account != nil && s.Account.Goal != nil {
			show(read(s.Account.Goal))
		}
	}
}

// remaining is how much of a goal is left, 0 once it is reached.
func remaining(g *state.SoakGoal) float64 {
	if g.ReachedNS >= 0 {
		return 0
	}
	return seconds(max(g.QuietNS-g.SoFarNS, 1))
}

// soak are the families of a long run.
func soak() []family {
	return []family{
		gauge("soak_live_seconds", "For how long the link was live, in frames that may be believed: what a claim about outages rests on. "+
			"Of servo leads alone: for how long pulses came on all outputs.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return seconds(t.LiveNS) })),
		gauge("soak_outages", "Outages that were over, the signal was back. Of servo leads alone: silences of outputs.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return float64(t.Outages) })),
		gauge("soak_occasions", "Occasions of outages, half an hour or more apart.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return float64(t.Occasions) })),
		gauge("soak_restarts", "Outages that look like a receiver that began anew.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return float64(t.Restarts) })),
		gauge("soak_signal_gone", "1 while the signal is gone. Of servo leads alone: while an output is silent.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return truth(t.GoneSinceNS >= 0) })),
		gauge("soak_claim_seconds", "On average an occasion comes no more often than once in so long, 95 % sure; 0 while nothing is proven.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return float64(t.OneInHours * 3600) })),
		gauge("soak_next_claim_seconds", "The next claim that is worth waiting for: no more often than once in so long.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return float64(t.NextHours * 3600) })),
		gauge("soak_next_claim_remaining_seconds", "Live time until then, without a further occasion.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return seconds(t.NextNS) })),
		gauge("soak_goal_remaining_seconds", "Live time without an outage until the goal is reached, 0 once it is; absent where none was declared.", nil,
			ofGoal(remaining)),
		gauge("soak_goal_failed_stretches", "How often an outage ended a quiet stretch before the goal was reached; absent where none was declared.", nil,
			ofGoal(func(g *state.SoakGoal) float64 { return float64(g.Failed) })),
	}
}
