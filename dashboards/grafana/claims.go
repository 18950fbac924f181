package grafana

import (
	"github.com/grafana/grafana-foundation-sdk/go/cog"
	"github.com/grafana/grafana-foundation-sdk/go/common"
	"github.com/grafana/grafana-foundation-sdk/go/dashboard"
	"github.com/grafana/grafana-foundation-sdk/go/prometheus"
	"github.com/grafana/grafana-foundation-sdk/go/table"
	"github.com/grafana/grafana-foundation-sdk/go/units"
)

// seenWrong is the verdict as the metrics have it.
const seenWrong = "seen wrong"

// claims is what was seen of the sheet.
func claims() section {
	return section{"What was seen of the sheet", []cog.Builder[dashboard.Panel]{
		unsettled(),
		stacked(trace("Claims by verdict", "How the sitting went on.", units.Short, 14)).
			WithTarget(query(`benchproof_claims{instance="$bench"}`, "{{verdict}}")).
			Min(0).Decimals(0).
			OverrideByName(seenWrong, colour(wrong)).
			OverrideByName("seen right", colour(good)).
			OverrideByName("stale", colour(caution)).
			OverrideByName("open", colour(plain)),
	}}
}

func colour(name string) []dashboard.DynamicConfigValue {
	return []dashboard.DynamicConfigValue{{Id: "color", Value: map[string]any{"mode": "fixed", "fixedColor": name}}}
}

// unsettled lists what is left to do, the wrong ones first.
func unsettled() *table.PanelBuilder {
	return table.NewPanelBuilder().Title("Seen wrong, or still to show").
		Description("Claims by their ID. The page of the bench has the sentence, the figures and how each comes to be seen.").
		Datasource(source()).Span(10).Height(8).NoValue("all seen right").
		Footer(common.NewTableFooterOptionsBuilder().Show(false).Reducer([]string{})).
		WithTarget(latest(toDo, "").Format(prometheus.PromQueryFormatTable)).
		WithTransformation(dashboard.DataTransformerConfig{Id: "organize", Options: map[string]any{
			"excludeByName": map[string]bool{"Time": true, "__name__": true, "instance": true, "job": true, "verdict": true},
			"indexByName":   map[string]int{"Value": 0, "claim": 1},
			"renameByName":  map[string]string{"Value": "verdict now"},
		}}).
		SortBy([]cog.Builder[common.TableSortByFieldState]{common.NewTableSortByFieldStateBuilder().DisplayName("verdict now").Desc(true)}).
		OverrideByName("verdict now", []dashboard.DynamicConfigValue{
			{Id: "custom.width", Value: 130},
			{Id: "mappings", Value: words(word{"3", seenWrong, wrong}, word{"2", "stale", caution}, word{"1", "open", plain})},
		})
}

// toDo ranks what is not seen right by how much it matters.
const toDo = `3 * benchproof_claim_verdict{instance="$bench",verdict="` + seenWrong + `"}` +
	` or 2 * benchproof_claim_verdict{instance="$bench",verdict="stale"}` +
	` or benchproof_claim_verdict{instance="$bench",verdict="open"}`
