package event

import "benchproof.example/monitor/text"

// PaperLines are papers as people read them, an entry a line, with what makes one out of date.
func PaperLines(list []Paper) (lines []string) {
	for i := range list {
		line := list[i].Says()
		if by := list[i].Outdated(list); len(by) > 0 {
			line += "; OUT OF DATE, since " + text.And(by) + " is dated later: look at it again"
		}
		lines = append(lines, line)
	}
	return lines
}
