package event

import (
	"strconv"
	"strings"
)

// Subject is the sort of thing that an event is about: Event.About is "SUBJECT:NAME", or
// one of AboutSession and AboutStabiliser, of which there is one each.
type Subject string

// The subjects.
const (
	AboutChannel Subject = "channel" // its number, from 1
	AboutClaim   Subject = "claim"   // its ID
	AboutDrill   Subject = "drill"
	AboutOutput  Subject = "output" // its number, from 1
	AboutSwitch  Subject = "switch"
	AboutTap     Subject = "tap"

	AboutSession    = "session"
	AboutStabiliser = "stabiliser"
)

// Called is what an event is about that is of the subject and has the name.
func (s Subject) Called(name string) string { return string(s) + ":" + name }

// Numbered is what an event is about that is of the subject and has the number.
func (s Subject) Numbered(number int) string { return s.Called(strconv.Itoa(number)) }

// Name is that of what an event is about, false where it is of another subject.
func (s Subject) Name(about string) (string, bool) { return strings.CutPrefix(about, string(s)+":") }

// nameIn is the name in what an event is about, of whatever subject; all of it where there
// is none.
func nameIn(about string) string {
	if _, name, found := strings.Cut(about, ":"); found {
		return name
	}
	return about
}

// Number is that of what an event is about, false where it is of another subject.
func (s Subject) Number(about string) (int, bool) {
	name, ok := s.Name(about)
	number, err := strconv.Atoi(name)
	return number, ok && err == nil
}
