package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Mistake is one fault of a sheet's text. Line and Column count from 1, the
// column in characters; Found and Want complete the sentence
// "found ...; ... would be right".
type Mistake struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Found  string `json:"found"`
	Want   string `json:"want"`
	Key    string `json:"key,omitempty"` // the path of its row in Table, of an unknown key that of its section; "": it is about none
}

// Error is the mistake as one line.
func (m Mistake) Error() string {
	return fmt.Sprintf("%s:%d:%d: found %s; %s would be right", m.File, m.Line, m.Column, m.Found, m.Want)
}

// Mistakes are all faults that Read found in one sheet, by line and column.
type Mistakes []Mistake

// Error is the mistakes, one a line.
func (m Mistakes) Error() string {
	lines := make([]string, len(m))
	for i := range m {
		lines[i] = m[i].Error()
	}
	return strings.Join(lines, "\n")
}

// Keys are the paths of the keys that the mistakes are about, each once.
func (m Mistakes) Keys() (list []string) {
	for i := range m {
		if m[i].Key != "" && !slices.Contains(list, m[i].Key) {
			list = append(list, m[i].Key)
		}
	}
	return list
}

func (m Mistakes) sort() {
	slices.SortStableFunc(m, func(a, b Mistake) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
}

// quote sets text in quotes, shortened, so that it cannot break the line.
func quote(text string) string {
	const most = 40
	if runes := []rune(text); len(runes) > most {
		text = string(runes[:most]) + "..."
	}
	return fmt.Sprintf("%q", text)
}

// oneOf lists the words that would be right.
func oneOf(all []string) string {
	var words []string
	for _, word := range all {
		if !slices.Contains(words, word) {
			words = append(words, word)
		}
	}
	switch len(words) {
	case 0:
		return "nothing"
	case 1:
		return words[0]
	}
	return "one of " + strings.Join(words, ", ")
}
