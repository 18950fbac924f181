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

// soak are the families of a long run.
func soak() []family {
	return []family{
		gauge("soak_live_seconds", "For how long the link was live, in frames that may be believed: what a claim about outages rests on.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return seconds(t.LiveNS) })),
		gauge("soak_outages", "Outages that were over, the signal was back.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return float64(t.Outages) })),
		gauge("soak_occasions", "Occasions of outages, half an hour or more apart.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return float64(t.Occasions) })),
		gauge("soak_restarts", "Outages that look like a receiver that began anew.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return float64(t.Restarts) })),
		gauge("soak_signal_gone", "1 while the signal is gone.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return truth(t.GoneSinceNS >= 0) })),
		gauge("soak_claim_seconds", "On average at most one occasion in so long, 95 % sure; 0 while nothing can be claimed.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return float64(t.OneInHours * 3600) })),
		gauge("soak_next_claim_seconds", "The next claim that is worth waiting for: at most one occasion in so long.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return float64(t.NextHours * 3600) })),
		gauge("soak_next_claim_remaining_seconds", "Live time until then, without a further occasion.", tapLabels(),
			perAccount(func(t *state.TapAccount) float64 { return seconds(t.NextNS) })),
	}
}
