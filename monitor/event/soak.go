package event

import (
	"fmt"
	"regexp"
	"strconv"

	"benchproof.example/monitor/unit"
)

// The kinds of event of a long run.
const (
	SoakCounted = "soak.counted"
	GoalReached = "goal.reached"
	GoalMissed  = "goal.missed"
)

// The marks between which a phone is at the model: a radio of its own, so the time counts
// for nothing.
const (
	PhoneMark     = "phone at the model"
	PhoneAwayMark = "phone away"
)

var soakKinds = []Row{
	offScreen(row(SoakCounted, "tap:NAME", "How a long run stands whose sheet has a soak section: each hour, after each outage, and at "+
		"the end of a sitting. The claims of the family soak rest on it.", soakSentence)),
	row(GoalReached, "tap:NAME", "The goal that was declared when the session began is reached: so long without an outage.", goalSentence),
	trouble(row(GoalMissed, "tap:NAME", "An outage ended a stretch before the goal was reached; a new one begins.", goalSentence)),
}

// SoakData belongs to soak.counted: the account of a bus since the session began.
type SoakData struct {
	Tap       string        `json:"tap"`
	LiveNS    unit.Duration `json:"live_ns"`   // of a live link, in frames that may be believed
	Outages   int64         `json:"outages"`   // that were over, the signal was back
	Occasions int64         `json:"occasions"` // runs of such, half an hour or more apart
	OneInNS   unit.Duration `json:"one_in_ns"` // on average at most one occasion in this, 95 % sure; 0: nothing to claim
	// BrokenNS: on average more than one occasion in this, 95 % sure; 0: nothing to claim. Of the limits that the
	// sheet may name it is the one that the sheet names.
	BrokenNS unit.Duration `json:"broken_ns"`
	Gone     bool          `json:"gone"`    // the signal is gone, and it is not known whether it comes back: OneInNS counts that as an outage
	Ended    bool          `json:"ended"`   // the sitting is over
	Frames   int64         `json:"frames"`  // undamaged, of the live link
	Missed   int64         `json:"missed"`  // of these, missed on the air
	Known    bool          `json:"known"`   // what follows is known
	PPM      int64         `json:"ppm"`     // share of missed frames, parts per million,
	LowPPM   int64         `json:"low_ppm"` // and between which it lies, 95 % sure
	HighPPM  int64         `json:"high_ppm"`
	// Minutes of live time, those in which a frame was missed, and what share of frames is missed at most by these, 95 % sure, parts per
	// million: where too few runs were missed for a share. Absent where that is known.
	Minutes   int64 `json:"minutes,omitempty"`
	Hit       int64 `json:"minutes_missed,omitempty"`
	AtMostPPM int64 `json:"at_most_ppm,omitempty"`
}

// GoalData belongs to goal.reached and goal.missed.
type GoalData struct {
	Tap     string        `json:"tap"`
	QuietNS unit.Duration `json:"quiet_ns"`            // the goal
	AfterNS unit.Duration `json:"after_ns"`            // how long this stretch was
	Failed  int64         `json:"failed"`              // stretches that an outage ended, with this one where it did
	OneInNS unit.Duration `json:"one_in_ns,omitempty"` // reached: on average at most one occasion in this, 95 % sure
}

func soakSentence(_ *Event, name string, d *SoakData) string {
	return fmt.Sprintf("%s: %d outages on %d occasions in %s of a live link", name, d.Outages, d.Occasions, unit.FormatDuration(d.LiveNS))
}

func goalSentence(e *Event, name string, d *GoalData) string {
	if e.Kind == GoalMissed {
		return fmt.Sprintf("%s: AN OUTAGE after %s; the goal was %s, and a new stretch begins", name, unit.FormatDuration(d.AfterNS), FormatQuiet(d.QuietNS))
	}
	s := fmt.Sprintf("%s: THE GOAL IS REACHED, %s", name, FormatQuiet(d.QuietNS))
	if d.OneInNS > 0 {
		s += fmt.Sprintf("; so occasions of outages come no more often than once in %d h on average, 95 %% sure", int64(d.OneInNS/(60*unit.Minute)))
	}
	return s
}

// goal is how a goal is written: "12h quiet".
var goal = regexp.MustCompile(`^([1-9][0-9]{0,3})(h|min) quiet$`)

// ParseQuiet reads a goal, "12h quiet": how long there is to be no outage. Anything else is
// an error that says what is wanted.
func ParseQuiet(text string) (unit.Duration, error) {
	part := goal.FindStringSubmatch(text)
	if part == nil {
		return 0, fmt.Errorf(`got %q for a goal, want up to 9999 whole hours or minutes and the word quiet, such as "12h quiet" or "90min quiet"`, text)
	}
	n, _ := strconv.ParseInt(part[1], 10, 64) // digits, few enough
	if part[2] == "min" {
		return unit.Duration(n) * unit.Minute, nil
	}
	return unit.Duration(n) * 60 * unit.Minute, nil
}

// FormatQuiet is a goal as ParseQuiet reads it.
func FormatQuiet(d unit.Duration) string {
	if d%(60*unit.Minute) == 0 {
		return fmt.Sprintf("%dh quiet", d/(60*unit.Minute))
	}
	return fmt.Sprintf("%dmin quiet", d/unit.Minute)
}
