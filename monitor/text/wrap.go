// Package text wraps sentences, shows what would act on a terminal, and holds wording that several packages share.
package text

import "strings"

// Wrap breaks a paragraph into lines of at most width runes, each behind the
// indent. A word that is longer stands on a line of its own.
func Wrap(text string, width int, indent string) string {
	var b strings.Builder
	column := 0
	for _, word := range strings.Fields(text) {
		n := len([]rune(word))
		switch {
		case column == 0:
			b.WriteString(indent)
		case column+1+n > width-len(indent):
			b.WriteString("\n" + indent)
			column = 0
		default:
			b.WriteString(" ")
			column++
		}
		b.WriteString(word)
		column += n
	}
	return b.String()
}
