package waveform

import "fmt"

// Error says where a file can't be read on.
type Error struct {
	Line   int64  // from 1
	Column int64  // bytes, from 1
	Text   string // what was found and what would be right
}

func (e *Error) Error() string {
	return fmt.Sprintf("line %d, column %d: %s", e.Line, e.Column, e.Text)
}

// shown is text of a file for a sentence: cut short and with nothing in it that
// moves a cursor.
func shown(text []byte) string {
	const most = 40
	if len(text) > most {
		return fmt.Sprintf("%q...", text[:most])
	}
	return fmt.Sprintf("%q", text)
}
