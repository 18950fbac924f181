package view

import (
	"regexp"
	"strings"
	"unicode/utf8"

	"benchproof.example/monitor/text"
)

// Hang sets a sentence behind a prefix, wrapped at words, its further lines behind as
// many spaces. Columns of 0 wrap nothing. What would act on a terminal is shown; lines of a
// sentence's own stay.
func Hang(prefix, sentence string, columns int) string {
	sentence = text.PrintableLines(sentence)
	if columns == 0 {
		return prefix + sentence
	}
	indent := strings.Repeat(" ", utf8.RuneCountInString(prefix))
	bound := beforeUnit.ReplaceAllString(sentence, "$1"+glue+"$2")
	return prefix + strings.ReplaceAll(strings.TrimPrefix(text.Wrap(bound, columns, indent), indent), glue, " ")
}

// beforeUnit is a number and its unit, which stay on one line.
var beforeUnit = regexp.MustCompile(`([0-9]) (µs|ms|s|ns)\b`)

// glue stands for a space at which no line is broken.
const glue = "\x00"
