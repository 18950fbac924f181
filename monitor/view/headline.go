package view

import (
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
)

// Headline is what the status line says, in its order, as data: a terminal and a page say the
// same. What is not heard now is "--".
func Headline(s *state.State, sh *sheet.Sheet) []state.Part {
	list := []state.Part{}
	for _, p := range statusParts(s, sh) {
		list = append(list, state.Part{Part: p.part, Text: p.text, Grade: p.grade.String()})
	}
	return list
}

// String names a grade.
func (g Grade) String() string { return [...]string{"plain", "right", "trouble", "wrong"}[g] }
