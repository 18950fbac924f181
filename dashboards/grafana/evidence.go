package grafana

import (
	"github.com/grafana/grafana-foundation-sdk/go/cog"
	"github.com/grafana/grafana-foundation-sdk/go/common"
	"github.com/grafana/grafana-foundation-sdk/go/dashboard"
	"github.com/grafana/grafana-foundation-sdk/go/units"
)

// evidence is how daemon and disk do.
func evidence() section {
	return section{"Is the evidence kept?", []cog.Builder[dashboard.Panel]{
		tile("Model", "Of this session's sheet.", `benchproof_session_info{instance="$bench"}`, "{{model}}", 6).
			TextMode(common.BigValueTextModeName),
		tile("Program", "What listens.", `benchproof_build_info{instance="$bench"}`, "{{build}}", 6).
			TextMode(common.BigValueTextModeName),
		tile("Session", "Since it began.", `time() - benchproof_session_began_timestamp_seconds{instance="$bench"}`, "", 4).
			Unit(units.Seconds).Decimals(0),
		tile("Begun or resumed", "How often; more than once: the daemon was stopped in between.", `benchproof_session_runs_total{instance="$bench"}`, "", 4),
		tile("Faults of judgement", "A fault of the program, not of the model.", `benchproof_judgement_faults_total{instance="$bench"}`, "", 4).
			Thresholds(limits(good, from(1, wrong))),
		trace("Room on the disk", "A day of a bus takes about 0.06 GB, with eight leads 0.36 GB.", units.BytesSI, 12).
			WithTarget(query(`benchproof_recorder_free_bytes{instance="$bench"}`, "free")).Min(0),
		trace("Written and waiting", "Inputs recorded and events made, a second; events that wait to be written.", units.Short, 12).
			WithTarget(query(`rate(benchproof_recorder_inputs_total{instance="$bench"}[$__rate_interval])`, "inputs a second")).
			WithTarget(query(`rate(benchproof_events_total{instance="$bench"}[$__rate_interval])`, "events a second")).
			WithTarget(query(`benchproof_recorder_waiting_events{instance="$bench"}`, "events waiting")).Min(0),
		trace("Judgement behind", "Up to a little over a second is usual.", units.Seconds, 12).
			WithTarget(query(`benchproof_judgement_lag_seconds{instance="$bench"}`, "behind")).Min(0),
		trace("Port: came up, and lost characters", "Lately. A port that comes and goes: a cable or a socket.", units.Short, 12).
			WithTarget(query(`increase(benchproof_tap_ups_total{instance="$bench"}[$__rate_interval])`, "{{tap}} came up")).
			WithTarget(query(`increase(benchproof_lost_bytes_total{instance="$bench"}[$__rate_interval])`, "{{tap}} lost")).Min(0),
	}}
}
