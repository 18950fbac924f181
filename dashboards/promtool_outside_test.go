//go:build outside

package dashboards_test

import (
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Prometheus's own tool reads what we show, and what we say to Prometheus.
func TestPromtool(t *testing.T) {
	for _, c := range []struct {
		input string
		args  []string
	}{
		{scraped, []string{"check", "metrics"}},
		{os.DevNull, []string{"check", "rules", rulesFile}},
		{os.DevNull, []string{"test", "rules", unitTests}},
		{os.DevNull, []string{"check", "config", "prometheus/prometheus.example.yml"}},
	} {
		input, err := os.Open(c.input)
		require.NoError(t, err)
		tool := exec.Command("promtool", c.args...)
		tool.Stdin = input
		out, err := tool.CombinedOutput()
		assert.NoError(t, err, "promtool %v: %s", c.args, out)
		assert.NotContains(t, string(out), "FAILED")
		require.NoError(t, input.Close())
	}
}

// The tool must be able to complain.
func TestPromtoolRefuses(t *testing.T) {
	tool := exec.Command("promtool", "check", "metrics")
	input, err := tool.StdinPipe()
	require.NoError(t, err)
	_, err = input.Write([]byte("# TYPE benchproof_frames counter\nbenchproof_frames 1\n"))
	require.NoError(t, err)
	require.NoError(t, input.Close())
	out, err := tool.CombinedOutput()
	assert.Error(t, err, "no help, no _total: %s", out)
}
