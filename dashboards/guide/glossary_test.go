package guide_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/decode/linefault"
	"benchproof.example/monitor/claim"
	"benchproof.example/monitor/doctor"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
)

// entries are the words of a table of the glossary, by its heading.
func entries(t *testing.T, heading string) (words []string) {
	t.Helper()
	_, part, ok := strings.Cut(topic(t, "glossary"), "\n## "+heading+"\n")
	require.True(t, ok, heading)
	part, _, _ = strings.Cut(part, "\n## ")
	for _, row := range regexp.MustCompile(`(?m)^\| ([^|]+) \| [^|]+ \|$`).FindAllStringSubmatch(part, -1) {
		if row[1] != "word" {
			words = append(words, row[1])
		}
	}
	return words
}

// All words of a list that a program has, and no others, stand in its table.
func TestTheGlossaryHasTheWordsOfTheProgram(t *testing.T) {
	conditions := []string{string(event.SignalLive), string(event.SignalMissed), string(event.SignalLost), string(event.SignalFailsafe)}
	for _, c := range state.Conditions() {
		conditions = append(conditions, string(c))
	}
	var causes, families, kinds []string
	for c := range linefault.Causes {
		causes = append(causes, c.String())
	}
	for _, f := range claim.Families() {
		families = append(families, string(f))
	}
	for _, section := range event.Table() {
		for _, row := range section.Rows {
			family, _, _ := strings.Cut(row.Kind, ".")
			kinds = append(kinds, family)
		}
	}
	for heading, want := range map[string][]string{
		"How a tap does": conditions, "Why nothing can be read": causes, "Families of claims": families, "Families of events": kinds,
		"How the recording does": {string(state.TroubleDisk), string(state.TroubleDiskStalled), string(state.TroubleNotRecording)},
		"What doctor says":       {string(doctor.Fine), string(doctor.Note), string(doctor.Mend)},
		"Kinds of channels":      {sheet.Stick, sheet.Throttle, sheet.Knob, sheet.Fixed, sheet.Switch, sheet.Momentary},
	} {
		slices.Sort(want)
		assert.Equal(t, slices.Compact(want), entries(t, heading), heading)
	}
	assert.Subset(t, entries(t, "What is looked at"), []string{event.VerdictOpen, event.VerdictRight, event.VerdictWrong, event.VerdictStale})
}

// One word, one plain sentence, in the order of the alphabet.
func TestTheGlossaryIsPlain(t *testing.T) {
	headings := regexp.MustCompile(`(?m)^## (.+)$`).FindAllStringSubmatch(topic(t, "glossary"), -1)
	require.Len(t, headings, 9)
	for _, h := range headings {
		words := entries(t, h[1])
		require.NotEmpty(t, words, h[1])
		assert.Equal(t, slices.Compact(slices.Sorted(slices.Values(words))), words, h[1])
	}
	for _, row := range regexp.MustCompile(`(?m)^\| ([^|]+) \| ([^|]+) \|$`).FindAllStringSubmatch(topic(t, "glossary"), -1) {
		if row[1] != "word" {
			assert.Regexp(t, `^[^.]+\.$`, strings.ReplaceAll(row[2], "Ctrl-C.", "end."), row[1])
		}
	}
}

// Words of the first column that stand in quotes are the program's own, and no word of the status
// line and no cause lacks its row.
func TestTroubleshootingQuotesTheProgram(t *testing.T) {
	page, sources := topic(t, "troubleshooting"), programText(t)
	quotes := regexp.MustCompile(`(?m)^\| ([^|]*"[^|]*) \|`).FindAllStringSubmatch(page, -1)
	require.Greater(t, len(quotes), 30)
	for _, row := range quotes {
		for _, quote := range regexp.MustCompile(`"([^"]+)"`).FindAllStringSubmatch(row[1], -1) {
			for _, part := range regexp.MustCompile(`\.\.\.|\bN\b(?: frames)?|\(.*`).Split(quote[1], -1) {
				if part = strings.Trim(part, " :,"); len(part) > 3 {
					assert.True(t, strings.Contains(sources, part), "%s: the program says no %q", row[1], part)
				}
			}
		}
	}
	view := read(t, monitor+"view/status_parts.go") + read(t, monitor+"view/status_rest.go") + read(t, monitor+"view/status_soak.go")
	words := regexp.MustCompile(`(?:state\.(?:Condition|Trouble)\w+: +\{|add\()"([^"]+)", (?:Plain|Trouble|Wrong)`).FindAllStringSubmatch(view, -1)
	require.GreaterOrEqual(t, len(words), len(state.Conditions())+3)
	for _, w := range words {
		assert.True(t, strings.Contains(page, "| `"+w[1]), "a word of the status line without a row: %s", w[1])
	}
	for c := range linefault.Causes {
		assert.Contains(t, page, "| `"+c.String()+"`", "a cause without a row")
	}
}

// programText is the source of the program, without its tests, with pieces of a text joined
// that are written in several.
func programText(t *testing.T) string {
	t.Helper()
	var all strings.Builder
	for _, root := range []string{"../../cmd", "../../monitor", "../../decode"} {
		require.NoError(t, fs.WalkDir(os.DirFS(root), ".", func(path string, _ fs.DirEntry, err error) error {
			if err == nil && strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, "_test.go") {
				all.WriteString(read(t, filepath.Join(root, path)))
			}
			return err
		}))
	}
	return regexp.MustCompile(`" ?\+\s*"`).ReplaceAllString(all.String(), "")
}
