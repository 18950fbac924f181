package sheet

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"benchproof.example/monitor/text"
)

// The values of the starter are written by hand, and so is what is remarked on them. Where
// a key comes for the first time it has the remark of its row: a section above it, another
// key behind it. BENCHPROOF_REWRITE writes these.
func TestStarterHasTheRemarksOfTheRows(t *testing.T) {
	var w remarks
	for line := range strings.Lines(string(Starter())) {
		w.line(strings.TrimSuffix(line, "\n"))
	}
	made := strings.Join(w.lines, "\n") + "\n"
	require.Greater(t, len(w.seen), 60)
	if os.Getenv("BENCHPROOF_REWRITE") != "" {
		require.NoError(t, os.WriteFile("starter.yaml", []byte(made), 0o600))
		return
	}
	assert.Equal(t, made, string(Starter()))
}

// remarks sets them while it goes through a sheet, line by line.
type remarks struct {
	lines []string
	path  []string        // the key under way, one step for each level
	seen  map[string]bool // rows that had their remark
	ours  bool            // what goes on from the line before is the row's remark
}

var (
	keyLine = regexp.MustCompile(`^( *)([a-z0-9_-]+):(?: |$)|^( *)# ([a-z_]+): \{`) // the second: a key that is left out
	behind  = regexp.MustCompile(`(\S) +# .*$`)
	goesOn  = regexp.MustCompile(`^ {24,}#`)
)

func (w *remarks) line(line string) {
	if w.ours && goesOn.MatchString(line) {
		return // it is written anew
	}
	w.ours = false
	part := keyLine.FindStringSubmatch(line)
	if part == nil {
		w.lines = append(w.lines, line)
		return
	}
	w.path = append(w.path[:len(part[1]+part[3])/2], part[2]+part[4])
	row := rowOf(w.path)
	if w.seen == nil {
		w.seen = map[string]bool{}
	}
	if w.seen[row.Path] {
		w.lines = append(w.lines, line)
		return
	}
	w.seen[row.Path] = true
	if row.parent() == "" && below[row.Path] != nil {
		w.above(line, row)
		return
	}
	w.ours = true
	w.behind(behind.ReplaceAllString(line, "$1"), row)
}

// above sets a section's remark in place of what stands between it and the last blank line.
func (w *remarks) above(line string, row *Key) {
	for n := len(w.lines) - 1; w.lines[n] != ""; n-- {
		w.lines = w.lines[:n]
	}
	w.lines = append(w.lines, strings.Split("# "+strings.ReplaceAll(text.Wrap(row.Remark+".", 78, ""), "\n", "\n# "), "\n")...)
	w.lines = append(w.lines, line)
}

// behind sets a remark from column 30 on, or where the line ends, up to column 124.
func (w *remarks) behind(line string, row *Key) {
	column := max(30, len(line)+1)
	for i, part := range strings.Split(text.Wrap(row.Remark, 124-column, ""), "\n") {
		mark := "# "
		if i > 0 {
			line, mark = "", "#   "
		}
		w.lines = append(w.lines, line+strings.Repeat(" ", column-len(line))+mark+part)
	}
}

// rowOf finds the row of a path with names of a sheet in it.
func rowOf(path []string) *Key {
	row := &Key{}
	for _, step := range path {
		next, ok := rows[row.under(step)]
		if !ok {
			next = rows[row.under("*")]
		}
		row = next
	}
	return row
}
