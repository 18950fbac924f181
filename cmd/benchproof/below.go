package main

import (
	"strings"
	"unicode/utf8"

	"benchproof.example/monitor/view"
)

// clearAbove has a terminal go up a line and forget it.
const clearAbove = "\x1b[A\r\x1b[K"

// below are the lines that stand at the bottom of a terminal, below all that is printed. The
// cursor stands at the end of the last one.
type below struct {
	widths []int // of the lines that stand there, columns
}

// clear is what has a terminal of so many columns forget them. Lines that were set for a
// wider one take several of its rows.
func (b *below) clear(columns int) string {
	rows := 0
	for _, w := range b.widths {
		rows += max(1, (w+columns-1)/columns)
	}
	b.widths = nil
	return clearLine + strings.Repeat(clearAbove, max(0, rows-1))
}

// draw is what has it show them.
func (b *below) draw(lines []string) string {
	var colours []string
	for _, s := range view.Sequences() {
		colours = append(colours, s, "")
	}
	bare := strings.NewReplacer(colours...)
	for _, line := range lines {
		b.widths = append(b.widths, utf8.RuneCountInString(bare.Replace(line)))
	}
	return strings.Join(lines, "\n")
}
