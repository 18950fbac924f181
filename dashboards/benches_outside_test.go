//go:build outside

package dashboards_test

import (
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// findsBenches is how our example has Prometheus find its benches.
func findsBenches(t *testing.T) any {
	text, err := os.ReadFile("prometheus/prometheus.example.yml")
	require.NoError(t, err)
	var config struct {
		Scrapes []map[string]any `yaml:"scrape_configs"`
	}
	require.NoError(t, yaml.Unmarshal(text, &config))
	require.Len(t, config.Scrapes, 1)
	return config.Scrapes[0]
}

// nameBenches writes the file that lists benches, in the shape of our example.
func nameBenches(t *testing.T, dir string, addresses map[string]string) {
	var shape []struct {
		Targets []string
		Labels  struct{ Instance string }
	}
	strictYAML(t, "prometheus/benches.example.yml", &shape)
	require.Len(t, shape, 1)
	list := []any{}
	for name, address := range addresses {
		list = append(list, map[string]any{"targets": []string{address}, "labels": map[string]string{"instance": name}})
	}
	writeYAML(t, filepath.Join(dir, "new"), list)
	require.NoError(t, os.Rename(filepath.Join(dir, "new"), filepath.Join(dir, "benches.yml")))
}

// instances are what the board's choice of benches offers.
func (p *prometheus) instances(t *testing.T) (names []string) {
	text, err := os.ReadFile(boardFile)
	require.NoError(t, err)
	metric := named(`"label_values\((\w+), instance\)"`, string(text))
	require.NotEmpty(t, metric)
	var got json.RawMessage
	require.NoError(t, p.get("/api/v1/label/instance/values?match[]="+url.QueryEscape(metric[0]), &got))
	require.NoError(t, json.Unmarshal(got, &names))
	return names
}

// One Prometheus over three daemons, found by our example's file: one that is added while it
// runs is found, each answers the board by its name, and what befalls one is told of that one.
func TestSeveralBenchesInPrometheus(t *testing.T) {
	program, dir := built(t), t.TempDir()
	addresses, stop := map[string]string{}, map[string]func(){}
	for _, name := range []string{"reedwing", "second", "third"} {
		addresses[name], stop[name] = demoOf(t, program, "testdata/quiet.script")
	}
	third := addresses["third"]
	delete(addresses, "third")
	nameBenches(t, dir, addresses)
	p := startWith(t, dir, findsBenches(t))
	up := func(n string) {
		var got []string
		require.Eventually(t, func() bool {
			var err error
			got, err = p.ask(`count(up{job="benchproof"} == 1)`)
			return err == nil && len(got) == 1 && got[0] == n
		}, patience, often, "want %s up, got %v", n, got)
	}
	up("2")
	addresses["third"] = third
	nameBenches(t, dir, addresses)
	up("3")
	require.Eventually(t, func() bool { return len(p.instances(t)) == 3 }, patience, often)
	assert.Equal(t, []string{"reedwing", "second", "third"}, p.instances(t))
	for name := range addresses {
		asks := 0
		for _, panel := range panels(t) {
			for _, q := range panel.Targets {
				if !strings.Contains(q.Expr, "_soak_") || ofGoal(q.Expr) {
					continue
				}
				asks++
				var values []string
				assert.Eventually(t, func() bool {
					var err error
					values, err = p.ask(asked(q.Expr, name, "1m"))
					return err == nil && len(values) == 1 && number(values)
				}, patience, often, "%s of %s: got %v", panel.Title, name, values)
			}
		}
		assert.Equal(t, 8, asks, "each family of the account is on the board")
	}
	stop["second"]()
	says := p.absent(t)
	assert.Contains(t, says, "Bench second does not answer")
	assert.NotContains(t, says, "third")
}

// absent waits for the alert that a bench does not answer, and gives what it says.
func (p *prometheus) absent(t *testing.T) string {
	key := p.appears(t, "BenchAbsent")
	now, err := p.firing()
	require.NoError(t, err)
	return now[key]["summary"]
}
