package grafana

import (
	"github.com/grafana/grafana-foundation-sdk/go/cog"
	"github.com/grafana/grafana-foundation-sdk/go/common"
	"github.com/grafana/grafana-foundation-sdk/go/dashboard"
	"github.com/grafana/grafana-foundation-sdk/go/prometheus"
	"github.com/grafana/grafana-foundation-sdk/go/stat"
	"github.com/grafana/grafana-foundation-sdk/go/statetimeline"
	"github.com/grafana/grafana-foundation-sdk/go/timeseries"
)

// The colours carry no meaning alone: each goes with a word or a figure.
const (
	good    = "green"
	caution = "orange"
	wrong   = "red"
	plain   = "text"
)

// query is a query over the time that the board shows.
func query(expr, legend string) *prometheus.DataqueryBuilder {
	return prometheus.NewDataqueryBuilder().Datasource(source()).Range().Expr(expr).LegendFormat(legend)
}

// latest is a query for one moment.
func latest(expr, legend string) *prometheus.DataqueryBuilder {
	return prometheus.NewDataqueryBuilder().Datasource(source()).Instant().Expr(expr).LegendFormat(legend)
}

// tile is one word or figure of now.
func tile(title, says, expr, legend string, wide uint32) *stat.PanelBuilder {
	return stat.NewPanelBuilder().Title(title).Description(says).Datasource(source()).
		Span(wide).Height(4).
		WithTarget(latest(expr, legend)).
		ReduceOptions(common.NewReduceDataOptionsBuilder().Calcs([]string{"lastNotNull"})).
		GraphMode(common.BigValueGraphModeNone).
		ColorMode(common.BigValueColorModeValue)
}

// trace is lines over time.
func trace(title, says, unit string, wide uint32) *timeseries.PanelBuilder {
	return timeseries.NewPanelBuilder().Title(title).Description(says).Datasource(source()).
		Span(wide).Height(8).Unit(unit).
		LineWidth(1).ShowPoints(common.VisibilityModeNever).
		Legend(common.NewVizLegendOptionsBuilder().ShowLegend(true).DisplayMode(common.LegendDisplayModeList).Placement(common.LegendPlacementBottom)).
		Tooltip(common.NewVizTooltipOptionsBuilder().Mode(common.TooltipDisplayModeMulti))
}

// stacked fills what lies under the lines and puts one upon the other.
func stacked(p *timeseries.PanelBuilder) *timeseries.PanelBuilder {
	return p.FillOpacity(40).Stacking(common.NewStackingConfigBuilder().Mode(common.StackingModeNormal))
}

// bars are one bar a row, filled while something holds.
func bars(title, says, expr, legend string, wide uint32, words []dashboard.ValueMapping) *statetimeline.PanelBuilder {
	return statetimeline.NewPanelBuilder().Title(title).Description(says).Datasource(source()).
		Span(wide).Height(7).
		WithTarget(query(expr, legend)).
		MergeValues(true).ShowValue(common.VisibilityModeNever).
		Mappings(words).
		Legend(common.NewVizLegendOptionsBuilder().ShowLegend(false).DisplayMode(common.LegendDisplayModeList).Placement(common.LegendPlacementBottom))
}

// limits colours by value: the first colour below all bounds.
func limits(first string, steps ...dashboard.Threshold) *dashboard.ThresholdsConfigBuilder {
	all := append([]dashboard.Threshold{{Color: first}}, steps...)
	return dashboard.NewThresholdsConfigBuilder().Mode(dashboard.ThresholdsModeAbsolute).Steps(all)
}

func from(value float64, colour string) dashboard.Threshold {
	return dashboard.Threshold{Value: &value, Color: colour}
}

// word is what is shown for a value.
type word struct{ value, text, colour string }

func words(list ...word) []dashboard.ValueMapping {
	options := map[string]dashboard.ValueMappingResult{}
	for i, w := range list {
		options[w.value] = dashboard.ValueMappingResult{Text: &w.text, Color: &w.colour, Index: cog.ToPtr(int32(i))}
	}
	return []dashboard.ValueMapping{{ValueMap: &dashboard.ValueMap{Type: dashboard.MappingTypeValueToText, Options: options}}}
}
