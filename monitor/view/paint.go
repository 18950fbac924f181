package view

import (
	"slices"
	"strings"
)

// Paint says whether words get a colour. Colour only repeats what the words say, so
// that nothing is lost without it.
type Paint bool

// colours are none, green, yellow, bold red.
var colours = [...]string{Plain: "", Right: "\x1b[32m", Trouble: "\x1b[33m", Wrong: "\x1b[1;31m"}

const end = "\x1b[0m"

// Sequences are all that paint writes to a terminal.
func Sequences() []string { return append(slices.Clone(colours[Right:]), end) }

// In puts each line of a text into the colour of a grade, where there is one.
func (p Paint) In(g Grade, text string) string {
	begin := colours[g]
	if !p || begin == "" || text == "" {
		return text
	}
	return begin + strings.ReplaceAll(text, "\n", end+"\n"+begin) + end
}
