package grafana

import (
	"github.com/grafana/grafana-foundation-sdk/go/cog"
	"github.com/grafana/grafana-foundation-sdk/go/common"
	"github.com/grafana/grafana-foundation-sdk/go/dashboard"
	"github.com/grafana/grafana-foundation-sdk/go/units"
)

// now is what one sees from across the room.
func now() section {
	return section{"Now", []cog.Builder[dashboard.Panel]{
		tile("Taps", "Is the port open, and do frames come?",
			`benchproof_tap_up{instance="$bench"} + benchproof_tap_live{instance="$bench"}`, "{{tap}}", 4).
			TextMode(common.BigValueTextModeValueAndName).NoValue("no bench").
			Mappings(words(word{"0", "PORT GONE", wrong}, word{"1", "SILENT", wrong}, word{"2", "frames come", good})),
		tile("Signal", "Whose values do the frames carry? Failsafe: the receiver acts on its own.",
			`sum by (tap) (benchproof_signal{instance="$bench",signal="missed"}) + `+
				`2 * sum by (tap) (benchproof_signal{instance="$bench",signal="failsafe"})`, "{{tap}}", 4).
			TextMode(common.BigValueTextModeValueAndName).NoValue("no frames").
			Mappings(words(word{"0", "live", good}, word{"1", "missed", caution}, word{"2", "FAILSAFE", wrong})),
		tile("The bus asks for", "The mode that the switches ask for, by the sheet's windows. What the stabiliser then does is not on this wire.",
			`benchproof_mode_asked{instance="$bench"}`, "{{mode}}", 4).
			TextMode(common.BigValueTextModeName).NoValue("nothing settled"),
		tile("Seen wrong", "Claims of the sheet that the wire contradicted.",
			`benchproof_claims{instance="$bench",verdict="`+seenWrong+`"}`, "", 3).
			Thresholds(limits(good, from(1, wrong))),
		tile("Still to show", "Claims that were not seen yet, or not since something was changed.",
			`sum(benchproof_claims{instance="$bench",verdict=~"open|stale"})`, "", 3).
			Thresholds(limits(good, from(1, plain))),
		tile("Evidence", "Is what is heard being recorded?",
			`benchproof_recorder_recording{instance="$bench"} - benchproof_recorder_stalled{instance="$bench"}`, "", 3).
			Mappings(words(word{"-1", "NOT RECORDED", wrong}, word{"0", "NOT RECORDED", wrong}, word{"1", "recorded", good})),
		tile("Last frame", "How long ago the latest frame came.",
			`time() - benchproof_last_frame_timestamp_seconds{instance="$bench"}`, "{{tap}}", 3).
			Unit(units.Seconds).Decimals(0).NoValue("none yet").
			Thresholds(limits(good, from(15, wrong))),
	}}
}
