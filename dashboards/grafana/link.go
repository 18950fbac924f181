package grafana

import (
	"github.com/grafana/grafana-foundation-sdk/go/cog"
	"github.com/grafana/grafana-foundation-sdk/go/common"
	"github.com/grafana/grafana-foundation-sdk/go/dashboard"
	"github.com/grafana/grafana-foundation-sdk/go/heatmap"
	"github.com/grafana/grafana-foundation-sdk/go/prometheus"
	"github.com/grafana/grafana-foundation-sdk/go/units"
)

// share is how many of the frames were so, lately.
func share(what string) string {
	return `rate(benchproof_` + what + `_frames_total{instance="$bench"}[$__rate_interval]) / rate(benchproof_frames_total{instance="$bench"}[$__rate_interval])`
}

// link is how good air and wire are. Three causes, never added up.
func link() section {
	return section{"Air and wire", []cog.Builder[dashboard.Panel]{
		trace("Air: frames flagged by the receiver",
			"Share of the frames. Missed: the receiver did not hear the transmitter. Failsafe: it has given up.", units.PercentUnit, 12).
			WithTarget(query(share("missed"), "{{tap}} missed")).
			WithTarget(query(share("failsafe"), "{{tap}} failsafe")).Min(0),
		trace("Wire: frames damaged or left out",
			"Share of the frames. Damaged: a character broken on the wire. Left out: never sent, by the bus's own rhythm.",
			units.PercentUnit, 12).
			WithTarget(query(share("damaged"), "{{tap}} damaged")).
			WithTarget(query(share("gap"), "{{tap}} left out")).Min(0),
		stacked(trace("Wire: characters that are part of no frame", "By reason. Foreign bytes between frames are usual with some receivers.", "suffix: /s", 12)).
			WithTarget(query(`sum by (tap, reason) (rate(benchproof_refused_bytes_total{instance="$bench"}[$__rate_interval]))`, "{{tap}} {{reason}}")).
			WithTarget(query(`rate(benchproof_bad_bytes_total{instance="$bench"}[$__rate_interval])`, "{{tap}} marked bad by the port")).Min(0),
		trace("Rhythm", "From frame to frame as learned, the slowest of a hundred, and how late the port hands over.", units.Seconds, 12).
			WithTarget(query(`benchproof_bus_period_seconds{instance="$bench"}`, "{{tap}} period")).
			WithTarget(query(`histogram_quantile(0.99, sum by (tap, le) (`+
				`rate(benchproof_frame_period_seconds_bucket{instance="$bench"}[$__rate_interval])))`, "{{tap}} 99 of 100 within")).
			WithTarget(query(`benchproof_port_clumping_seconds{instance="$bench"}`, "{{tap}} clumping")).Min(0),
		gapsOfTime(),
	}}
}

// gapsOfTime shows how long the waits from frame to frame were.
func gapsOfTime() *heatmap.PanelBuilder {
	return heatmap.NewPanelBuilder().Title("From frame to frame").
		Description("How many frames came after how long. A second band at twice the period: frames are left out.").
		Datasource(source()).Span(24).Height(8).
		WithTarget(query(`sum by (le) (increase(benchproof_frame_period_seconds_bucket{instance="$bench"}[$__rate_interval]))`, "{{le}}").
			Format(prometheus.PromQueryFormatHeatmap)).
		Calculate(false).ShowLegend().
		YAxis(heatmap.NewYAxisConfigBuilder().Unit(units.Seconds)).
		Color(heatmap.NewHeatmapColorOptionsBuilder().Mode(heatmap.HeatmapColorModeScheme).Scheme("Blues").
			Scale(heatmap.HeatmapColorScaleExponential).Exponent(0.5).Steps(64).Reverse(false).Fill("blue")).
		CellValues(heatmap.NewCellValuesBuilder().Unit(units.Short)).
		Tooltip(heatmap.NewHeatmapTooltipBuilder().Mode(common.TooltipDisplayModeSingle))
}
