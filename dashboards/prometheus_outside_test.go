//go:build outside

package dashboards_test

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/require"
)

const (
	patience = 90 * time.Second
	often    = 100 * time.Millisecond
)

// prometheus is a real one that scrapes several times a second.
type prometheus struct{ url string }

// start runs a Prometheus over targets with our alerts, which don't wait: the
// waits are tested by the rules' unit tests.
func start(t *testing.T, targets ...string) *prometheus {
	return startWith(t, t.TempDir(), map[string]any{"job_name": "benchproof", "static_configs": []any{map[string]any{"targets": targets}}})
}

// startWith runs one in a folder, that finds its benches so.
func startWith(t *testing.T, dir string, find any) *prometheus {
	impatient(t, filepath.Join(dir, "rules.yml"))
	writeYAML(t, filepath.Join(dir, "prometheus.yml"), map[string]any{
		"global":         map[string]any{"scrape_interval": "250ms", "scrape_timeout": "250ms", "evaluation_interval": "250ms"},
		"rule_files":     []string{"rules.yml"},
		"scrape_configs": []any{find},
	})
	cmd := exec.Command("prometheus", "--config.file="+filepath.Join(dir, "prometheus.yml"),
		"--storage.tsdb.path="+filepath.Join(dir, "data"), "--web.listen-address=127.0.0.1:0")
	log, err := cmd.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
	return &prometheus{"http://" + announced(t, log, `msg="Listening on" address=(\S+)`)}
}

// announced reads on until a line says what is looked for; the rest is read too,
// so that the writer never waits.
func announced(t *testing.T, log io.Reader, pattern string) string {
	found, wanted := make(chan string, 1), regexp.MustCompile(pattern)
	go func() {
		lines := bufio.NewScanner(log)
		for said := false; lines.Scan(); {
			if m := wanted.FindStringSubmatch(lines.Text()); m != nil && !said {
				said = true
				found <- m[1]
			}
		}
		close(found)
	}()
	select {
	case address, ok := <-found:
		require.True(t, ok, "it ended without a line like %s", pattern)
		return address
	case <-time.After(patience):
		require.FailNow(t, "it did not start in time")
		return ""
	}
}

// impatient writes our rules with no alert waiting.
func impatient(t *testing.T, path string) {
	text, err := os.ReadFile(rulesFile)
	require.NoError(t, err)
	var file map[string]any
	require.NoError(t, yaml.Unmarshal(text, &file))
	for _, group := range file["groups"].([]any) {
		for _, r := range group.(map[string]any)["rules"].([]any) {
			delete(r.(map[string]any), "for")
		}
	}
	writeYAML(t, path, file)
}

func writeYAML(t *testing.T, path string, v any) {
	text, err := yaml.Marshal(v)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, text, 0o600))
}

// get asks Prometheus's API and fills in what it answers.
func (p *prometheus) get(path string, into any) error {
	answer, err := http.Get(p.url + path)
	if err != nil {
		return err
	}
	defer func() { _ = answer.Body.Close() }()
	var envelope struct {
		Status, Error string
		Data          json.RawMessage
	}
	if err := json.NewDecoder(answer.Body).Decode(&envelope); err != nil {
		return fmt.Errorf("the answer to %s: %w", path, err)
	}
	if envelope.Status != "success" {
		return fmt.Errorf("got %s to %s: %s", envelope.Status, path, envelope.Error)
	}
	return json.Unmarshal(envelope.Data, into)
}

// ask gives the values of an expression now.
func (p *prometheus) ask(expr string) (values []string, err error) {
	var data struct{ Result []struct{ Value [2]any } }
	if err := p.get("/api/v1/query?query="+url.QueryEscape(expr), &data); err != nil {
		return nil, err
	}
	for _, r := range data.Result {
		values = append(values, r.Value[1].(string))
	}
	return values, nil
}

// firing are the alerts that fire, by name and tap, with their annotations.
func (p *prometheus) firing() (map[string]map[string]string, error) {
	var data struct {
		Alerts []struct {
			Labels, Annotations map[string]string
			State               string
		}
	}
	if err := p.get("/api/v1/alerts", &data); err != nil {
		return nil, err
	}
	all := map[string]map[string]string{}
	for _, a := range data.Alerts {
		if a.State == "firing" {
			all[a.Labels["alertname"]+" "+a.Labels["tap"]] = a.Annotations
		}
	}
	return all, nil
}

// settled waits until the alerts were evaluated over several scrapes.
func (p *prometheus) settled(t *testing.T) {
	var seen time.Time
	require.Eventually(t, func() bool {
		scrapes, err := p.ask(`count_over_time(up{job="benchproof"}[5m]) > 8 and up == 1`)
		if seen.IsZero() && err == nil && len(scrapes) > 0 {
			seen = time.Now()
		}
		var data struct {
			Groups []struct{ LastEvaluation time.Time }
		}
		err = p.get("/api/v1/rules", &data)
		for _, g := range data.Groups {
			if seen.IsZero() || !g.LastEvaluation.After(seen) {
				return false
			}
		}
		return err == nil && len(data.Groups) > 0
	}, patience, often)
}
