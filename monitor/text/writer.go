package text

import (
	"io"
	"strings"
	"unicode/utf8"
)

// Writer hands text on as PrintableLines shows it. A character may come in pieces.
type Writer struct {
	To   io.Writer
	rest []byte // the beginning of a character
}

// Write implements io.Writer. It takes all of p, or what it was given is lost with the error.
func (w *Writer) Write(p []byte) (int, error) {
	if len(w.rest) == 0 && plain(p, true) {
		return w.To.Write(p)
	}
	all := p
	if len(w.rest) > 0 {
		all = append(w.rest, p...)
	}
	whole := len(all) - begun(all)
	w.rest = append([]byte(nil), all[whole:]...)
	if _, err := io.WriteString(w.To, PrintableLines(string(all[:whole]))); err != nil {
		return 0, err
	}
	return len(p), nil
}

// Flush shows the beginning of a character whose end did not come.
func (w *Writer) Flush() error {
	rest := string(w.rest)
	w.rest = nil
	_, err := io.WriteString(w.To, PrintableLines(rest))
	return err
}

// begun is how many bytes at the end of p begin a character that is not whole.
func begun(p []byte) int {
	for n := 1; n < utf8.UTFMax && n <= len(p); n++ {
		if tail := p[len(p)-n:]; utf8.RuneStart(tail[0]) {
			if utf8.FullRune(tail) {
				return 0
			}
			return n
		}
	}
	return 0
}

// Painted is text with the sequences of a terminal among it that are given; all else of it
// is shown as PrintableLines shows it.
func Painted(s string, sequences []string) string {
	var b strings.Builder
	for s != "" {
		at, sequence := len(s), ""
		for _, q := range sequences {
			if i := strings.Index(s, q); i >= 0 && i < at {
				at, sequence = i, q
			}
		}
		b.WriteString(PrintableLines(s[:at]) + sequence)
		s = s[at+len(sequence):]
	}
	return b.String()
}
