package script

import "fmt"

// Mistake is what is wrong with a script.
type Mistake struct {
	File  string
	Line  int    // from 1
	Found string // what stands there
	Want  string // what would be right
}

func (m *Mistake) Error() string {
	return fmt.Sprintf("%s:%d: found %s, want %s", m.File, m.Line, m.Found, m.Want)
}
