// Package view makes of events, of the present and of claims what a person looks at on a
// terminal: lines, the status line, the end of a sitting. It judges nothing.
package view

import (
	"strings"
	"unicode/utf8"

	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
)

// statusPart is one thing that the status line says.
type statusPart struct {
	part  state.PartName
	text  string
	short string // where columns lack; "": as it is
	grade Grade
}

// mustStand is how many parts of the status line, from its beginning, are said
// shorter rather than not: the link, the mode asked for and the throttle.
const mustStand = 3

const between = " | "

// StatusLine is one line about the present, in an order that never changes: the link,
// the mode asked for, the throttle, the gain, then the rest; in a long run its progress
// stands before the gain. What does not fit into so
// many columns is left out from its end, as a whole; 0 columns are no limit. What is
// not heard now is "--": old values never look live.
func StatusLine(s *state.State, sh *sheet.Sheet, columns int, p Paint) string {
	parts := statusParts(s, sh)
	if columns > 0 {
		parts = fitting(parts, columns)
	}
	texts := make([]string, 0, len(parts))
	for _, part := range parts {
		texts = append(texts, p.In(part.grade, part.text))
	}
	return strings.Join(texts, between)
}

// fitting are the parts that fit: the first ones are shortened if they must be, and
// once one is left out, so are all after it.
func fitting(parts []statusPart, columns int) []statusPart {
	if first := min(mustStand, len(parts)); width(parts[:first]) > columns {
		for i := range parts[:first] {
			if parts[i].short != "" {
				parts[i].text = parts[i].short
			}
		}
	}
	n := 0
	for n < len(parts) && width(parts[:n+1]) <= columns {
		n++
	}
	return parts[:n]
}

func width(parts []statusPart) (columns int) {
	for i, p := range parts {
		if i > 0 {
			columns += len(between)
		}
		columns += utf8.RuneCountInString(p.text)
	}
	return columns
}
