package event

import "strings"

// Subject is the sort of thing that an event is about. Event.About is the subject, a colon
// and a name; or "session", which has none.
type Subject string

// The subjects.
const (
	AboutClaim   Subject = "claim"
	AboutDrill   Subject = "drill"
	AboutOutput  Subject = "output"
	AboutSwitch  Subject = "switch"
	AboutTap     Subject = "tap"
	AboutSession         = "session"
)

// Called is what an event is about that is of this subject and has this name.
func (s Subject) Called(name string) string { return string(s) + ":" + name }

// Name is that of what is so called, false where that is of another subject.
func (s Subject) Name(about string) (string, bool) { return strings.CutPrefix(about, string(s)+":") }
