package grafana

import (
	"github.com/grafana/grafana-foundation-sdk/go/cog"
	"github.com/grafana/grafana-foundation-sdk/go/dashboard"
)

// leads is what the receiver sends to its servos, as a capture board hears it.
func leads() section {
	return section{"What the servo leads carried", []cog.Builder[dashboard.Panel]{
		trace("Outputs", "Width of the latest pulse of each output. A line that ends is an output that went silent.", "suffix: µs", 24).
			WithTarget(query(`1e6 * benchproof_output_width_seconds{instance="$bench"}`, "{{tap}} {{output}}")).
			Height(10).Decimals(0).AxisSoftMin(880).AxisSoftMax(2120),
		trace("Pulses", "Of each output, a second.", "suffix: /s", 12).
			WithTarget(query(`rate(benchproof_pulses_total{instance="$bench"}[$__rate_interval])`, "{{tap}} {{output}}")).Min(0),
		trace("Capture board", "What did not reach the computer: lines lost or damaged on the way, pulses that the board could not tell.", "suffix: /s", 12).
			WithTarget(query(`rate(benchproof_board_lost_lines_total{instance="$bench"}[$__rate_interval])`, "{{tap}} lines lost")).
			WithTarget(query(`rate(benchproof_board_dropped_pulses_total{instance="$bench"}[$__rate_interval])`, "{{tap}} pulses dropped")).Min(0),
	}}
}
