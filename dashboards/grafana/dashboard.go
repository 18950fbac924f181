// Package grafana builds the board of one bench, bench.json, which Grafana
// imports as it is. The board is made in Go so that a misspelt option fails to
// compile, and so that a test can say that the file in the tree is what this
// package makes.
//
// From top to bottom it answers what a person who walks up to a bench asks: does
// it hear anything, and what does the model do now? What of the sheet was seen
// wrong or not yet? What did the hands do? How good are air and wire? What
// does a long run amount to? Is the evidence being kept?
package grafana

import (
	"encoding/json"
	"errors"
	"fmt"

	"github.com/grafana/grafana-foundation-sdk/go/cog"
	"github.com/grafana/grafana-foundation-sdk/go/common"
	"github.com/grafana/grafana-foundation-sdk/go/dashboard"
	"github.com/grafana/grafana-foundation-sdk/go/prometheus"
)

// Dashboard is the board of one bench as JSON for Grafana.
func Dashboard() ([]byte, error) {
	builder := dashboard.NewDashboardBuilder("Bench").
		Uid("benchproof-bench").
		Description("One bench: what it hears, what was seen of the sheet, and whether the evidence is kept. "+
			"It is evidence about a set-up, never a clearance to fly.").
		Tags([]string{"benchproof"}).
		Refresh("5s").
		Time("now-15m", "now").
		Tooltip(dashboard.DashboardCursorSyncCrosshair).
		WithVariable(dashboard.NewDatasourceVariableBuilder("source").Label("Prometheus").Type("prometheus")).
		WithVariable(benches())
	for _, s := range []section{now(), claims(), hands(), leads(), link(), longRun(), evidence()} {
		s.lay(builder)
	}
	board, err := builder.Build()
	if err := problem(err); err != nil {
		return nil, fmt.Errorf("the board of a bench: %w", err)
	}
	number(board.Panels)
	text, err := json.MarshalIndent(board, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("the board of a bench as JSON: %w", err)
	}
	return append(text, '\n'), nil
}

// section is a headline and the panels below it.
type section struct {
	title  string
	panels []cog.Builder[dashboard.Panel]
}

// lay puts the panels beside the headline, not into it: a row that holds its
// panels is folded.
func (s section) lay(builder *dashboard.DashboardBuilder) {
	builder.WithRow(dashboard.NewRowBuilder(s.title))
	for _, p := range s.panels {
		builder.WithPanel(p)
	}
}

// number gives panels and queries the names of their own that Grafana would else
// make up at each import.
func number(panels []dashboard.PanelOrRowPanel) {
	for i, item := range panels {
		id := uint32(i + 1)
		if item.RowPanel != nil {
			item.RowPanel.Id = id
			continue
		}
		item.Panel.Id = &id
		for j, target := range item.Panel.Targets {
			q := target.(prometheus.Dataquery)
			q.RefId = cog.ToPtr(string(rune('A' + j)))
			item.Panel.Targets[j] = q
		}
	}
}

// problem is the error of a builder, which hands back an empty list of errors,
// no nil, where there is none.
func problem(err error) error {
	var list cog.BuildErrors
	if errors.As(err, &list) && len(list) == 0 {
		return nil
	}
	return err
}

// benches is the choice of the bench, by the address that Prometheus asks.
func benches() *dashboard.QueryVariableBuilder {
	query := "label_values(benchproof_build_info, instance)"
	return dashboard.NewQueryVariableBuilder("bench").Label("Bench").
		Datasource(source()).
		Query(dashboard.StringOrMap{String: &query}).
		Refresh(dashboard.VariableRefreshOnTimeRangeChanged).
		Sort(dashboard.VariableSortAlphabeticalAsc)
}

// source is the Prometheus that the board's variable chooses.
func source() common.DataSourceRef {
	return common.DataSourceRef{Type: cog.ToPtr("prometheus"), Uid: cog.ToPtr("${source}")}
}
