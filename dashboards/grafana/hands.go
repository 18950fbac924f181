package grafana

import (
	"github.com/grafana/grafana-foundation-sdk/go/cog"
	"github.com/grafana/grafana-foundation-sdk/go/dashboard"
)

// hands is what transmitter and receiver did, as the bus shows it.
func hands() section {
	yes := words(word{"1", "yes", "blue"}, word{"0", "no", "transparent"})
	return section{"What the bus carried", []cog.Builder[dashboard.Panel]{
		bars("The bus asked for", "Modes of the sheet, while they were asked for.",
			`benchproof_mode_asked{instance="$bench"}`, "{{tap}} {{mode}}", 12, yes),
		bars("Whose values", "Live, missed on the air, or the receiver's own.",
			`benchproof_signal{instance="$bench"}`, "{{tap}} {{signal}}", 12, yes),
		trace("Channels", "Widths by the sheet's scale. A line that ends is a bus that went silent.", "suffix: µs", 24).
			WithTarget(query(`1e6 * benchproof_channel_width_seconds{instance="$bench"}`, "{{tap}} {{channel}}")).
			Height(10).Decimals(0).AxisSoftMin(880).AxisSoftMax(2120),
	}}
}
