package event

import (
	"strings"

	"benchproof.example/monitor/unit"
)

// OnScreen reports whether an event is worth a line while a person looks on.
// What goes without saying once something else was said is left to the list of
// claims at the end: margins, ways and clipping that are right, and each verdict
// that one change made stale.
func OnScreen(e *Event) bool {
	if r := rows[e.Kind]; r != nil && r.OffScreen {
		return false
	}
	d, ok := e.Data.(VerdictData)
	if !ok || d.Verdict == VerdictWrong {
		return true
	}
	if d.Verdict != VerdictRight {
		return false
	}
	for _, quiet := range []string{"margin/", "passing/", "clip/", "position/"} {
		if strings.HasPrefix(e.About, "claim:"+quiet) {
			return false
		}
	}
	return true
}

// ShownTime is the date that an event is shown with: its onset, or the moment
// itself for what ends something that began long before.
func ShownTime(e *Event) unit.Time {
	if r := rows[e.Kind]; r != nil && r.AtMoment {
		return e.At
	}
	return e.From
}
