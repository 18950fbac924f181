package view

import "benchproof.example/monitor/event"

// Grade says how much a line is to stand out.
type Grade uint8

// The grades.
const (
	Plain   Grade = iota
	Right         // a claim was seen right
	Trouble       // something that should not be: a line that fell silent, a position away from its place
	Wrong         // a claim was seen wrong
)

// mark stands before what must not be overlooked, also where there is no colour.
func (g Grade) mark() string {
	if g == Trouble || g == Wrong {
		return "!"
	}
	return " "
}

// GradeOf grades an event.
func GradeOf(e *event.Event) Grade {
	if d, ok := e.Data.(event.VerdictData); ok {
		return gradeOfVerdict(d.Verdict)
	}
	if event.Trouble(e) {
		return Trouble
	}
	return Plain
}

func gradeOfVerdict(verdict string) Grade {
	switch verdict {
	case event.VerdictRight:
		return Right
	case event.VerdictWrong:
		return Wrong
	}
	return Plain
}
