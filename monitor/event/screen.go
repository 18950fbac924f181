package event

import (
	"benchproof.example/monitor/unit"
)

// OnScreen reports whether an event is worth a line while a person looks on.
// Each verdict that one change made stale is left to the list of claims at the end.
// Which claims that are seen right are left to it, too, only their families say:
// claim.Index.OnScreen.
func OnScreen(e *Event) bool {
	if r := rows[e.Kind]; r != nil && r.OffScreen {
		return false
	}
	d, ok := e.Data.(VerdictData)
	return !ok || d.Verdict == VerdictWrong || d.Verdict == VerdictRight
}

// Trouble reports whether an event is something that should not be: a line that fell
// silent, a position away from its place. Of verdicts it says nothing.
func Trouble(e *Event) bool {
	r := rows[e.Kind]
	return r != nil && r.trouble != nil && r.trouble(e)
}

// ShownTime is the date that an event is shown with: its onset, or the moment
// itself for what ends something that began long before.
func ShownTime(e *Event) unit.Time {
	if r := rows[e.Kind]; r != nil && r.AtMoment {
		return e.At
	}
	return e.From
}
