package grafana_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/grafana/grafana-foundation-sdk/go/cog"
	"github.com/grafana/grafana-foundation-sdk/go/cog/plugins"
	"github.com/grafana/grafana-foundation-sdk/go/dashboard"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/grafana"
)

// bench.json is what Grafana imports. BENCHPROOF_REWRITE=1 writes it anew.
func TestFileIsWhatIsBuilt(t *testing.T) {
	got, err := grafana.Dashboard()
	require.NoError(t, err)
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.WriteFile("bench.json", got, 0o644))
	}
	want, err := os.ReadFile("bench.json")
	require.NoError(t, err, "BENCHPROOF_REWRITE=1 writes it")
	assert.Equal(t, string(want), string(got))
}

// strictly says what Grafana would not know in a board. The library's strict
// reading keeps no panel, and answers with an empty list of errors, not with nil.
func strictly(t *testing.T, text []byte) (problems []string) {
	plugins.RegisterDefaultPlugins()
	err := new(dashboard.Dashboard).UnmarshalJSONStrict(text)
	var list cog.BuildErrors
	require.ErrorAs(t, err, &list)
	for _, e := range list {
		problems = append(problems, e.Error())
	}
	return problems
}

func decoded(t *testing.T) (text []byte, board dashboard.Dashboard) {
	plugins.RegisterDefaultPlugins()
	text, err := os.ReadFile("bench.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &board))
	return text, board
}

func TestFileIsABoard(t *testing.T) {
	text, board := decoded(t)
	assert.Empty(t, strictly(t, text))
	assert.Equal(t, "Bench", *board.Title)
	assert.NotEmpty(t, *board.Uid, "an import again replaces the board")
	for _, spoil := range []string{`"title": "Bench"`, `"title": "Taps"`, `"expr": "benchproof_mode_asked`, `"graphMode": "none"`} {
		require.Contains(t, string(text), spoil)
		spoilt := strings.Replace(string(text), spoil, `"novelty": 1, `+spoil, 1)
		assert.NotEmpty(t, strictly(t, []byte(spoilt)), "strict is strict about %s", spoil)
	}
}

// Panels lie on the grid of 24 columns and none upon another; each says what it
// shows and asks the Prometheus that was chosen.
func TestPanelsAreInOrder(t *testing.T) {
	taken := map[[2]uint32]string{}
	place := func(title string, at *dashboard.GridPos) {
		require.NotNil(t, at, title)
		assert.LessOrEqual(t, at.X+at.W, uint32(24), title)
		for x := at.X; x < at.X+at.W; x++ {
			for y := at.Y; y < at.Y+at.H; y++ {
				assert.Empty(t, taken[[2]uint32{x, y}], "%s covers it", title)
				taken[[2]uint32{x, y}] = title
			}
		}
	}
	titles := map[string]bool{}
	_, board := decoded(t)
	for _, item := range board.Panels {
		if item.RowPanel != nil {
			place(*item.RowPanel.Title, item.RowPanel.GridPos)
			continue
		}
		p := item.Panel
		place(*p.Title, p.GridPos)
		assert.False(t, titles[*p.Title], "%s twice", *p.Title)
		titles[*p.Title] = true
		assert.NotEmpty(t, *p.Description, *p.Title)
		assert.NotEmpty(t, p.Targets, *p.Title)
		assert.Equal(t, "${source}", *p.Datasource.Uid, *p.Title)
	}
	assert.Greater(t, len(titles), 15, "the panels were looked at")
}
