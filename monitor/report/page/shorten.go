package page

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// shorten is a text of at most so many letters, cut behind a part of it.
func shorten(text string, most int) string {
	if utf8.RuneCountInString(text) <= most {
		return text
	}
	cut := string([]rune(text)[:most])
	for _, end := range []string{". ", "; ", ", ", " "} {
		if i := strings.LastIndex(cut, end); i > most/2 {
			return cut[:i] + " …"
		}
	}
	return cut + "…"
}

// sentences are the first of a text.
func sentences(text string, most int) string {
	parts := strings.SplitAfter(text, ". ")
	return strings.TrimSpace(strings.Join(parts[:min(len(parts), most)], ""))
}

// inBrief is the first sentence of a text without its explanation.
func inBrief(text string) string {
	brief, _, _ := strings.Cut(sentences(text, 1), ": ")
	return stop(brief)
}

// stop is a text with the sign that ends a sentence.
func stop(text string) string {
	if text == "" || strings.HasSuffix(text, ".") || strings.HasSuffix(text, "…") {
		return text
	}
	return text + "."
}

// capital is a text as a sentence begins.
func capital(text string) string {
	first, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return text
	}
	return string(unicode.ToUpper(first)) + text[n:]
}

// withoutIDs leaves out the parts of a sentence that begin with the ID of a claim: on
// paper claims have no IDs.
func withoutIDs(sentence string, ids []string) string {
	parts := slices.DeleteFunc(strings.Split(sentence, "; "), func(part string) bool {
		id, _, _ := strings.Cut(part, " ")
		return slices.Contains(ids, id)
	})
	return strings.Join(parts, "; ")
}
