package text

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Printable shows what would act on a terminal or a page instead of being read: control
// characters, line breaks among them, marks that turn the direction of writing, separators
// of lines, and bytes that are no UTF-8. Each becomes its number, as JSON has it: \u001b.
func Printable(s string) string { return show(s, false) }

// PrintableLines is Printable for text that has line feeds and tabs of its own.
func PrintableLines(s string) string { return show(s, true) }

func show(s string, lines bool) string {
	if plain(s, lines) {
		return s
	}
	acts := func(r rune) bool { return Acts(r) && !(lines && (r == '\n' || r == '\t')) }
	if !strings.ContainsFunc(s, acts) && utf8.ValidString(s) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case acts(r):
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			b.WriteString(s[i : i+n])
		}
		i += n
	}
	return b.String()
}

// plain reports that a text is ASCII of which nothing acts: nearly all are, and long ones
// pass quickly.
func plain[T string | []byte](s T, lines bool) bool {
	for i := range len(s) {
		c := s[i]
		if c >= 0x7F || c < ' ' && !(lines && (c == '\n' || c == '\t')) {
			return false
		}
	}
	return true
}

// Acts reports whether a character does something on a terminal or a page instead of being
// seen there. All of them are below U+10000.
func Acts(r rune) bool {
	return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == '\u2028' || r == '\u2029'
}
