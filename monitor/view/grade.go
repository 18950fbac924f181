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

// troubleKinds are the kinds of event that are trouble whatever their data say.
var troubleKinds = map[string]bool{
	event.JudgementFailed: true, event.TapDown: true, event.TapOverrun: true,
	event.BusSilent: true, event.AirMissed: true, event.WireGap: true, event.WireDamaged: true,
	event.LinkLost: true, event.ValuesStill: true, event.ValueSpiked: true,
	event.BoardSilent: true, event.BoardLost: true,
	event.OutputSilent: true, event.OutputOdd: true, event.OutputUnsteady: true,
}

// GradeOf grades an event.
func GradeOf(e *event.Event) Grade {
	trouble := troubleKinds[e.Kind]
	switch d := e.Data.(type) {
	case event.VerdictData:
		return gradeOfVerdict(d.Verdict)
	case event.SwitchData:
		trouble = !d.Within
	case event.ModeData:
		trouble = d.Mode == "" && !d.Passing
	case event.RecordingGapData:
		trouble = !d.Ended
	case event.LateData:
		trouble = !d.Opened
	case event.FailsafeData:
		trouble = e.Kind == event.FailsafeEntered && !d.BeforeLink
	}
	if trouble {
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
