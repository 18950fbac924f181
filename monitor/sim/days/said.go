package days

import (
	"regexp"
	"strings"
)

// mayBeSaid reports whether something of what happened so far accounts for what is said.
func (d *day) mayBeSaid(s string) bool {
	return ofCuts.MatchString(s) || d.staysSaid(s) ||
		d.faults.last > 0 && strings.Contains(s, "have nothing in the recording any more that caused them")
}

// ofCuts is what a power cut may do.
var ofCuts = regexp.MustCompile(`^(the last \d+ bytes of the (timeline|recording) were half-written; they were cut off|the timeline was longer: )`)

// ofGaps is what is said of events that came in a gap and that the disk did not take.
var ofGaps = regexp.MustCompile(`^the timeline is not whole: events \d+ to \d+ are lacking$`)

// ofDamage is what is said of what stays damaged.
var ofDamage = regexp.MustCompile(`^(the recording is damaged |the timeline is damaged |the timeline is not whole: |the timeline was not whole: |` +
	`the timeline up to event \d+ is not as it was written; all of it is judged again)`)

// ofOthers is what is said where damage in the recording has it judged otherwise.
const ofOthers = "the recording is damaged and, judged again, gives another event"

// staysSaid reports whether something is said at each opening: what nobody can mend.
func (d *day) staysSaid(s string) bool {
	return d.damaged && ofDamage.MatchString(s) || d.faults.last > 0 && ofGaps.MatchString(s)
}

func isBehind(said string) bool { return strings.HasPrefix(said, "judgement was behind") }

func isOtherwise(said string) bool { return strings.HasPrefix(said, ofOthers) }
