// Package dashboards_test holds what people look at, alerts and boards, to what a
// scrape really shows.
package dashboards_test

import (
	"encoding/json"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/prometheus/prometheus/model/labels"
	"github.com/prometheus/prometheus/promql/parser"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	scraped   = "../monitor/metrics/testdata/hearing.prom" // what a scrape shows
	rulesFile = "prometheus/benchproof.rules.yml"
	unitTests = "prometheus/benchproof.rules.test.yml"
	boardFile = "grafana/bench.json"
)

// series are all series of a scrape as sets of labels, and Prometheus's own up.
// Prometheus adds job and instance.
func series(t *testing.T) (all []labels.Labels) {
	text, err := os.ReadFile(scraped)
	require.NoError(t, err)
	p := parser.NewParser(parser.Options{})
	for line := range strings.Lines(string(text) + "up 1\n") {
		if i := strings.LastIndexByte(line, ' '); line[0] != '#' {
			metric, err := p.ParseMetric(line[:i])
			require.NoError(t, err, line)
			all = append(all, labels.NewBuilder(metric).Set("job", "benchproof").Set("instance", "bench").Labels())
		}
	}
	require.Greater(t, len(all), 100, "the golden was read")
	return all
}

// rules are a file of alerts. What it has beyond these members is refused.
type rules struct {
	Groups []struct {
		Name  string
		Rules []rule
	}
}

type rule struct {
	Alert       string
	Expr        string
	For         string
	Labels      map[string]string
	Annotations map[string]string
}

func alerts(t *testing.T) (list []rule) {
	var file rules
	strictYAML(t, rulesFile, &file)
	for _, g := range file.Groups {
		list = append(list, g.Rules...)
	}
	require.NotEmpty(t, list)
	return list
}

func strictYAML(t *testing.T, path string, into any) {
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, yaml.UnmarshalWithOptions(text, into, yaml.Strict()), path)
}

// The board's choice of benches is made from a metric that is there.
func TestBoardFindsBenches(t *testing.T) {
	var board struct {
		Templating struct {
			List []struct{ Name, Query string }
		}
	}
	text, err := os.ReadFile(boardFile)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &board))
	require.Len(t, board.Templating.List, 2)
	assert.Equal(t, "prometheus", board.Templating.List[0].Query)
	metric := named(`^label_values\((\w+), instance\)$`, board.Templating.List[1].Query)
	require.Len(t, metric, 1)
	assert.Empty(t, faults(t, metric[0], series(t)))
}

// panel is what a panel of the board asks.
type panel struct {
	Title   string
	Targets []struct{ Expr, LegendFormat string }
}

func panels(t *testing.T) (list []panel) {
	var board struct{ Panels []panel }
	text, err := os.ReadFile(boardFile)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &board))
	for _, p := range board.Panels {
		if len(p.Targets) > 0 {
			list = append(list, p)
		}
	}
	require.Greater(t, len(list), 15)
	return list
}

// asked is an expression of the board with the board's variables filled in.
func asked(expr, bench, interval string) string {
	return strings.NewReplacer("$bench", bench, "$__rate_interval", interval).Replace(expr)
}

// faults says where an expression asks for what no scrape shows: every selector
// must find a series of the golden, and every label it is joined or summed by
// must be one of those.
func faults(t *testing.T, expr string, known []labels.Labels) (list []string) {
	tree, err := parser.NewParser(parser.Options{}).ParseExpr(expr)
	require.NoError(t, err, expr)
	var carried []string
	var joined []string
	parser.Inspect(tree, func(node parser.Node, _ []parser.Node) error {
		switch n := node.(type) {
		case *parser.VectorSelector:
			i := slices.IndexFunc(known, func(l labels.Labels) bool { return matches(l, n.LabelMatchers) })
			if i < 0 {
				list = append(list, n.String()+" is in no scrape")
				return nil
			}
			known[i].Range(func(l labels.Label) { carried = append(carried, l.Name) })
		case *parser.AggregateExpr:
			joined = append(joined, n.Grouping...)
		case *parser.BinaryExpr:
			if n.VectorMatching != nil {
				joined = append(joined, n.VectorMatching.MatchingLabels...)
			}
		}
		return nil
	})
	for _, name := range joined {
		if !slices.Contains(carried, name) {
			list = append(list, "no series has a label "+name)
		}
	}
	return list
}

func matches(l labels.Labels, all []*labels.Matcher) bool {
	for _, m := range all {
		if !m.Matches(l.Get(m.Name)) {
			return false
		}
	}
	return true
}

func TestAlertsAskForWhatIsThere(t *testing.T) {
	known := series(t)
	for _, r := range alerts(t) {
		assert.Empty(t, faults(t, r.Expr, known), r.Alert)
	}
}

func TestBoardAsksForWhatIsThere(t *testing.T) {
	known := series(t)
	for _, p := range panels(t) {
		for _, q := range p.Targets {
			expr := asked(q.Expr, "bench", "1m")
			assert.Empty(t, faults(t, expr, known), p.Title)
			assert.Contains(t, expr, `instance="bench"`, "%s is of one bench", p.Title)
			assert.NotContains(t, expr, "$", p.Title)
			for _, name := range named(`\{\{(\w+)\}\}`, q.LegendFormat) {
				assert.Empty(t, faults(t, "sum by ("+name+") ("+expr+")", known), p.Title)
			}
		}
	}
}

// A mistake in an expression must be found.
func TestFaultsAreFound(t *testing.T) {
	known := series(t)
	for expr, want := range map[string]string{
		`benchproof_tap_down == 1`:                            "benchproof_tap_down is in no scrape",
		`rate(benchproof_frames[5m])`:                         "benchproof_frames is in no scrape",
		`benchproof_signal{signal="gone"}`:                    `benchproof_signal{signal="gone"} is in no scrape`,
		`benchproof_signal{sign="live"}`:                      `benchproof_signal{sign="live"} is in no scrape`,
		`sum by (port) (benchproof_tap_up)`:                   "no series has a label port",
		`benchproof_tap_up == on (taps) benchproof_tap_live`:  "no series has a label taps",
		`benchproof_claims{verdict="seen wrongly"} > 0 or up`: `benchproof_claims{verdict="seen wrongly"} is in no scrape`,
	} {
		assert.Equal(t, []string{want}, faults(t, expr, known), expr)
	}
	assert.Empty(t, faults(t, `sum without (reason) (rate(benchproof_refused_bytes_total[5m]))`, known))
}

func named(pattern, text string) (names []string) {
	for _, m := range regexp.MustCompile(pattern).FindAllStringSubmatch(text, -1) {
		names = append(names, m[1])
	}
	return names
}

// An alert says what is wrong, where, and what to do; how bad it is in one of two
// words.
func TestAlertsSayWhatToDo(t *testing.T) {
	known := series(t)
	for _, r := range alerts(t) {
		assert.Contains(t, []string{"critical", "warning"}, r.Labels["severity"], r.Alert)
		summary, description := r.Annotations["summary"], r.Annotations["description"]
		assert.NotEmpty(t, summary, r.Alert)
		assert.Greater(t, strings.Count(description, "."), 1, "%s: what is so, and what to do", r.Alert)
		for _, name := range named(`\$labels\.(\w+)`, summary+description) {
			assert.Empty(t, faults(t, "sum by ("+name+") ("+r.Expr+")", known), r.Alert)
		}
		if strings.Contains(r.Expr, "tap") || strings.Contains(r.Expr, "frames") {
			assert.Contains(t, summary, "$labels.tap", r.Alert)
		}
	}
}

// Every alert has a unit test in which it fires and at another time does not.
func TestEveryAlertHasUnitTests(t *testing.T) {
	var file struct {
		RuleFiles          []string `yaml:"rule_files"`
		EvaluationInterval string   `yaml:"evaluation_interval"`
		Tests              []struct {
			Name        string
			Interval    string
			InputSeries []input `yaml:"input_series"`
			Checks      []struct {
				Expr     string
				EvalTime string `yaml:"eval_time"`
				Samples  []struct {
					Labels string
					Value  float64
				} `yaml:"exp_samples"`
			} `yaml:"promql_expr_test"`
		}
	}
	strictYAML(t, unitTests, &file)
	fires, quiet := map[string]bool{}, map[string]bool{}
	for _, test := range file.Tests {
		for _, check := range test.Checks {
			assert.Equal(t, `ALERTS{alertstate="firing"}`, check.Expr, "%s: all alerts, so that a wrong one is seen", test.Name)
			var text string
			for _, s := range check.Samples {
				text += s.Labels
			}
			for _, r := range alerts(t) {
				is := strings.Contains(text, `alertname="`+r.Alert+`"`)
				fires[r.Alert] = fires[r.Alert] || is
				quiet[r.Alert] = quiet[r.Alert] || !is && fed(r.Expr, test.InputSeries)
			}
		}
	}
	for _, r := range alerts(t) {
		assert.True(t, fires[r.Alert], "%s never fires in %s", r.Alert, unitTests)
		assert.True(t, quiet[r.Alert], "%s is never quiet in %s", r.Alert, unitTests)
	}
}

// input is a series of a unit test.
type input struct{ Series, Values string }

// fed reports whether an expression reads one of the series.
func fed(expr string, from []input) bool {
	return slices.ContainsFunc(from, func(in input) bool {
		name, _, _ := strings.Cut(in.Series, "{")
		return regexp.MustCompile(`\b` + regexp.QuoteMeta(name) + `\b`).MatchString(expr)
	})
}
