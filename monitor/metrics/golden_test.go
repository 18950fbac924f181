package metrics_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/testutil"
	"github.com/prometheus/common/expfmt"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/metrics"
	"benchproof.example/monitor/state"
)

// moment reads a moment of a bench from testdata.
func moment(t testing.TB, path string) (s state.State) {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	strict := json.NewDecoder(bytes.NewReader(data))
	strict.DisallowUnknownFields()
	require.NoError(t, strict.Decode(&s), path)
	return s
}

func at(s state.State) *metrics.Collector {
	return metrics.New(func() state.State { return s })
}

func exposition(t testing.TB, s state.State) string {
	strict := prometheus.NewPedanticRegistry()
	require.NoError(t, strict.Register(at(s)))
	families, err := strict.Gather()
	require.NoError(t, err)
	var text strings.Builder
	for _, family := range families {
		_, err := expfmt.MetricFamilyToText(&text, family)
		require.NoError(t, err)
	}
	require.NotEmpty(t, text.String())
	return text.String()
}

// Each NAME.json is a moment of a bench, NAME.prom what a scrape then shows.
// BENCHPROOF_REWRITE=1 writes the latter anew.
func TestGolden(t *testing.T) {
	moments, err := filepath.Glob("testdata/*.json")
	require.NoError(t, err)
	require.NotEmpty(t, moments)
	for _, path := range moments {
		t.Run(filepath.Base(path), func(t *testing.T) {
			got := exposition(t, moment(t, path))
			golden := strings.TrimSuffix(path, ".json") + ".prom"
			if os.Getenv("BENCHPROOF_REWRITE") != "" {
				require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
			}
			want, err := os.ReadFile(golden)
			require.NoError(t, err, "BENCHPROOF_REWRITE=1 writes it")
			assert.Equal(t, string(want), got)
		})
	}
}

func TestLint(t *testing.T) {
	for _, name := range []string{"before", "hearing", "silent"} {
		problems, err := testutil.CollectAndLint(at(moment(t, "testdata/"+name+".json")))
		require.NoError(t, err)
		assert.Empty(t, problems, name)
	}
}
