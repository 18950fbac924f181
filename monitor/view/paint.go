package view

import "strings"

// Paint says whether words get a colour. Colour only repeats what the words say, so
// that nothing is lost without it.
type Paint bool

// In puts each line of a text into the colour of a grade, where there is one.
func (p Paint) In(g Grade, text string) string {
	code := [...]string{Plain: "", Right: "32", Trouble: "33", Wrong: "1;31"}[g] // none, green, yellow, bold red
	if !p || code == "" || text == "" {
		return text
	}
	begin, end := "\x1b["+code+"m", "\x1b[0m"
	return begin + strings.ReplaceAll(text, "\n", end+"\n"+begin) + end
}
