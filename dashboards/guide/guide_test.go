package guide_test

import (
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/dashboards/guide"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/sheet"
)

func TestEveryFileIsATopic(t *testing.T) {
	files, err := fs.Glob(guide.Files, "*.md")
	require.NoError(t, err)
	var topics []string
	for _, topic := range guide.Topics() {
		topics = append(topics, topic.Name+".md")
		assert.True(t, strings.HasPrefix(topic.Text, "# "+topic.Title+"\n\n"), topic.Name)
		assert.LessOrEqual(t, len(topic.Title), 64, "%s: its title fits on a line of the list", topic.Name)
	}
	assert.ElementsMatch(t, files, topics)
	_, ok := guide.Find("moon")
	assert.False(t, ok)
}

var (
	link = regexp.MustCompile(`(!?)\[[^]]*\]\(([^)]*)\)`)
	code = regexp.MustCompile("(?s)```.*?\n```|`[^`\n]*`")
)

// The guide needs nothing but itself: its links lead to its own topics, and its pictures
// are beside it.
func TestLinksStayInTheGuide(t *testing.T) {
	for _, topic := range guide.Topics() {
		for _, l := range link.FindAllStringSubmatch(topic.Text, -1) {
			want := ".md"
			if l[1] == "!" {
				want = ".svg"
			}
			assert.Equal(t, want, filepath.Ext(l[2]), topic.Name)
			_, err := fs.Stat(guide.Files, l[2])
			assert.NoError(t, err, topic.Name)
		}
	}
}

// What the terminal can set: no other blocks and marks than these.
func TestTopicsKeepToTheirBlocks(t *testing.T) {
	for _, topic := range guide.Topics() {
		fenced := false
		for line := range strings.Lines(topic.Text) {
			line = strings.TrimRight(line, "\n")
			if strings.HasPrefix(line, "```") {
				fenced = !fenced
			} else if !fenced {
				assert.NotRegexp(t, `^(\t| {4}|> |\* |\+ |=+$|-+$|####)|^ +- |<[a-z/!]`, code.ReplaceAllString(line, "code"), topic.Name)
				if !strings.HasPrefix(line, "|") && !strings.HasPrefix(line, "!") {
					assert.LessOrEqual(t, len([]rune(line)), 96, "%s: %s", topic.Name, line)
				}
			}
		}
		assert.False(t, fenced, topic.Name)
	}
}

// topic is the text of one.
func topic(t *testing.T, name string) string {
	t.Helper()
	found, ok := guide.Find(name)
	require.True(t, ok)
	return found.Text
}

const monitor = "../../monitor/"

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(text)
}

func TestMetricsAndAlertsAreThoseOfTheProgram(t *testing.T) {
	page := topic(t, "metrics")
	for pattern, file := range map[string]string{
		`(?m)^# HELP benchproof_(\S+)`: monitor + "metrics/testdata/hearing.prom", `alert: (\S+)`: "../prometheus/benchproof.rules.yml",
	} {
		names := regexp.MustCompile(pattern).FindAllStringSubmatch(read(t, file), -1)
		require.Greater(t, len(names), 10)
		for _, n := range names {
			assert.True(t, strings.Contains(page, "| `"+n[1]+"` |"), n[1])
		}
	}
}

// everyDrill makes the starter one that allows all drills.
var everyDrill = strings.NewReplacer("# righting:", "righting:",
	"  within: 1.5s ", "  other_memory: refused\n  within: 1.5s ", "\ntaps:\n", "\ntaps:\n  phone: {kind: tilt}\n",
	"  margin: 100 us", "  measure: [degrees, edges, gain]\n  margin: 100 us",
	"channels:\n", "channels:\n  11: {name: rescue, kind: momentary, rest: 1040, pressed: 1930}\n")

// The table of drills has each that the program has, in its order.
func TestDrillsAreThoseOfTheProgram(t *testing.T) {
	text := everyDrill.Replace(string(sheet.Starter())) + "soak: {receiver_supply: its regulator}\n" +
		"learning: {steps: [{kind: gesture, gesture: limit-learning}, {kind: menu, says: choose done}]}\n" +
		"levelling: {starts: go, sides: [flat], rests: 5s, still_after_power_up: 4s}\n"
	s, err := sheet.Read("starter", []byte(text))
	require.NoError(t, err)
	var want, got []string
	for _, p := range drill.Plans(s) {
		want = append(want, p.Name)
	}
	_, table, _ := strings.Cut(topic(t, "drills"), "| drill | what it shows |\n")
	table, _, _ = strings.Cut(table, "\n\n")
	for _, row := range regexp.MustCompile("(?m)^\\| `([^`]+)` \\|").FindAllStringSubmatch(table, -1) {
		got = append(got, row[1])
	}
	assert.Equal(t, want, got)
}

func TestPathsAreThoseOfTheProgram(t *testing.T) {
	var doc struct {
		Paths map[string]any `json:"paths"`
	}
	require.NoError(t, json.Unmarshal([]byte(read(t, monitor+"api/openapi.json")), &doc))
	require.Greater(t, len(doc.Paths), 10)
	page := strings.NewReplacer("TOPIC", "{page}", "/NAME/", "/{name}/").Replace(topic(t, "http"))
	for path := range doc.Paths {
		assert.Regexp(t, "`(POST )?"+regexp.QuoteMeta(path)+"[`?]", page)
	}
}

// The unit looks for the program where the guide has it put.
func TestTheServiceIsAsDescribed(t *testing.T) {
	page, folder := topic(t, "service"), "../../cmd/benchproof/service/"
	program := regexp.MustCompile(`(?m)^ExecStart=(/\S+)/benchproof `).FindStringSubmatch(read(t, folder+"benchproof@.service"))
	require.NotNil(t, program)
	assert.Contains(t, page, "the program into `"+program[1]+"`")
	assert.FileExists(t, folder+"70-benchproof.rules")
}
