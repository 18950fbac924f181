package grafana

import (
	"github.com/grafana/grafana-foundation-sdk/go/cog"
	"github.com/grafana/grafana-foundation-sdk/go/dashboard"
	"github.com/grafana/grafana-foundation-sdk/go/units"
)

// longRun is what a run of hours or days amounts to. Its figures are those of the account,
// which counts while a link lives.
func longRun() section {
	return section{"A long run", []cog.Builder[dashboard.Panel]{
		tile("Live", "For how long the link was live: what a claim rests on.", `benchproof_soak_live_seconds{instance="$bench"}`, "{{tap}}", 4).
			Unit(units.Seconds).Decimals(1),
		tile("No more often than once in", "On average, 95 % sure, on this bench. 0: nothing is proven yet.",
			`benchproof_soak_claim_seconds{instance="$bench"}`, "{{tap}}", 4).Unit(units.Seconds).Decimals(0),
		tile("Next claim", "The next that is worth waiting for.", `benchproof_soak_next_claim_seconds{instance="$bench"}`, "{{tap}}", 4).
			Unit(units.Seconds).Decimals(0),
		tile("Next claim is reached in", "Live time, without a further occasion.",
			`benchproof_soak_next_claim_remaining_seconds{instance="$bench"}`, "{{tap}}", 4).Unit(units.Seconds).Decimals(1),
		tile("Goal is reached in", "Live time without an outage; 0 once it is reached. Nothing where no goal was declared.",
			`benchproof_soak_goal_remaining_seconds{instance="$bench"}`, "goal", 4).Unit(units.Seconds).Decimals(1),
		tile("Occasions", "Of outages, half an hour or more apart.", `benchproof_soak_occasions{instance="$bench"}`, "{{tap}}", 4).
			Thresholds(limits(good, from(1, wrong))),
		trace("Outages and restarts", "Since the session began. A restart: the receiver began anew, it seems.", units.Short, 12).
			WithTarget(query(`benchproof_soak_outages{instance="$bench"}`, "{{tap}} outages")).
			WithTarget(query(`benchproof_soak_restarts{instance="$bench"}`, "{{tap}} restarts")).Min(0),
		bars("The signal", "Gone: it went and is not back.", `benchproof_soak_signal_gone{instance="$bench"}`, "{{tap}}", 12,
			words(word{"0", "there, or not yet", good}, word{"1", "GONE", wrong})),
	}}
}
