package sheet

import (
	"fmt"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/token"
)

// Line is one line of a sheet's text.
type Line struct {
	Number int    // from 1
	Text   string // as it is written
	Says   string // without its remark and the blanks before that; "": a remark alone, or nothing
	// Keys are the paths of the keys that begin on it, the outer one first, with the names of
	// the sheet: "channels.7.positions.first". An item of a list is a step of its own, from 0:
	// "stabiliser.modes.plain.wanted_at.[0]".
	Keys []string
	// Reads is what of the present it is about.
	Reads Reading
}

// Lines are those of a sheet that was read from the text, all of them, in their order.
func (s *Sheet) Lines(text []byte) []Line {
	// The YAML reader counts a carriage return and a line feed as two lines.
	source := strings.ReplaceAll(strings.TrimPrefix(string(text), "\uFEFF"), "\r\n", "\n")
	var list []Line
	for written := range strings.Lines(source) {
		written = strings.TrimSuffix(written, "\n")
		list = append(list, Line{Number: len(list) + 1, Text: written, Says: strings.TrimRight(written, " ")})
	}
	for _, t := range lexer.Tokenize(source) {
		if at := t.Position.Line - 1; t.Type == token.CommentType && at >= 0 && at < len(list) {
			remark := "#" + strings.TrimRight(t.Value, "\n ")
			list[at].Says = strings.TrimRight(strings.TrimSuffix(list[at].Says, remark), " ")
		}
	}
	if root := (Parser{}).reader("").document([]byte(source)); root != nil {
		placeKeys(list, root, &Key{}, nil)
	}
	for i := range list {
		list[i].Reads = s.reads(list[i].Keys)
	}
	return list
}

// placeKeys notes on each line the keys that begin on it; row is that of the table n, path
// leads to it.
func placeKeys(lines []Line, n *node, row *Key, path []string) {
	under := func(step string, at, value *node, row *Key) {
		inner := append(slices.Clip(path), step)
		if at.line >= 1 && at.line <= len(lines) {
			lines[at.line-1].Keys = append(lines[at.line-1].Keys, strings.Join(inner, "."))
		}
		placeKeys(lines, value, row, inner)
	}
	for i, item := range n.items {
		under(fmt.Sprintf("[%d]", i), item, item, row)
	}
	for _, e := range n.entries {
		if next := row.child(e.key.text); next != nil {
			under(e.key.text, e.key, e.value, next)
		}
	}
}

// child is the row of a key below this one, nil where no sheet has it.
func (k *Key) child(key string) *Key {
	if row, ok := rows[k.under(key)]; ok {
		return row
	}
	if row, ok := older[k.under(key)]; ok {
		return row
	}
	return rows[k.under("*")]
}

// LineOf is the number of the line on which the first of the paths stands that the sheet has,
// else of what is nearest above the first one; 0 where not even that is there.
func LineOf(lines []Line, paths ...string) int {
	for _, path := range paths {
		if n := lineWith(lines, path); n > 0 {
			return n
		}
	}
	if len(paths) == 0 {
		return 0
	}
	for path := paths[0]; ; {
		cut := strings.LastIndexByte(path, '.')
		if cut < 0 {
			return 0
		}
		path = path[:cut]
		if n := lineWith(lines, path); n > 0 {
			return n
		}
	}
}

func lineWith(lines []Line, path string) int {
	for i := range lines {
		if slices.Contains(lines[i].Keys, path) {
			return lines[i].Number
		}
	}
	return 0
}
