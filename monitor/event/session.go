package event

import (
	"fmt"
	"strings"

	"benchproof.example/monitor/text"
	"benchproof.example/monitor/unit"
)

// The kinds of event of a session.
const (
	SessionBegan    = "session.began"
	SessionResumed  = "session.resumed"
	SessionEnded    = "session.ended"
	Mark            = "mark"
	MarkStruck      = "mark.struck"
	Reopened        = "reopened"
	VerdictChanged  = "verdict.changed"
	ClockStepped    = "clock.stepped"
	RecordingGap    = "recording.gap"
	RecordingHurt   = "recording.hurt"
	JudgementFailed = "judgement.failed"
)

var sessionKinds = []Row{
	row(SessionBegan, "session", "A session began.", sessionSentence),
	row(SessionResumed, "session", "It goes on after the program stopped.", sessionSentence),
	{
		Kind: SessionEnded, About: "session", Meaning: "The sitting is over.",
		sentence: func(*Event, string) string { return "session ended" },
	},
	row(Mark, "session", "A dated remark.", func(_ *Event, _ string, d *MarkData) string { return "mark: " + d.Text }),
	row(MarkStruck, "session", "A remark was struck: its words are taken back. It stays where it is, and so does what was counted because of it.", struckSentence),
	row(Reopened, "session", "Something was changed: what depends on it is to be seen anew.",
		func(_ *Event, _ string, d *ReopenData) string { return "to be seen anew: " + d.What }),
	atMoment(row(VerdictChanged, "claim:ID", "The verdict of a claim changed.",
		func(_ *Event, _ string, d *VerdictData) string { return strings.ToUpper(d.Verdict) + ": " + d.Sentence })),
	row(ClockStepped, "session", "The computer's clock was set, as two beats in a row say; its onset is the first of "+
		"them. Bench time goes on as before.", clockSentence),
	troubleIf(func(d RecordingGapData) bool { return !d.Ended },
		row(RecordingGap, "session", "The recording stopped, since the disk does not take it or its files were taken away, "+
			"or goes on; watching goes on all the while.", gapSentence)),
	trouble(row(RecordingHurt, "session", "A closed part of this session's recording was read once more while it went on, and is not "+
		"as it was written: damaged, gone, or of another session.", func(_ *Event, _ string, d *RecordingHurtData) string {
		return "THE RECORDING IS HURT: " + d.Part + ": " + d.Why
	})),
	trouble(row(JudgementFailed, "session", "A fault of benchproof's own: judgement gave up at this input and started afresh.",
		failureSentence)),
}

// SessionData belongs to session.began and session.resumed.
type SessionData struct {
	Model string    `json:"model"`
	Build string    `json:"build"` // what heard it; the byte-for-byte promise holds for one build
	Taps  []TapName `json:"taps"`
}

// ClockData belongs to clock.stepped: the wall clock was set, as two beats in a row
// say; from the first of them.
type ClockData struct {
	StepNS unit.Duration `json:"step_ns"` // forward is positive
}

// MarkData belongs to mark.
type MarkData struct {
	Text string `json:"text"`
}

// StrikeData belongs to mark.struck. It names the mark by its date and its words, which are the
// same in every judgement of a recording.
type StrikeData struct {
	MarkNS unit.Time `json:"mark_ns"`       // bench time of the mark that is struck
	Text   string    `json:"text"`          // its words
	Why    string    `json:"why,omitempty"` // what was said to that, "" for nothing
}

// RecordingGapData belongs to recording.gap.
type RecordingGapData struct {
	Ended  bool   `json:"ended"`
	Why    string `json:"why"`
	Inputs int64  `json:"inputs"` // how many inputs the recording lacks, 0 while unknown
}

// RecordingHurtData belongs to recording.hurt.
type RecordingHurtData struct {
	Part string `json:"part"` // the file, in the session's folder
	Why  string `json:"why"`  // what is wrong with it, the first of it
}

// ReopenData belongs to reopened: what is to be seen anew, a channel's name,
// "failsafe" or "everything".
type ReopenData struct {
	What string `json:"what"`
}

func sessionSentence(e *Event, _ string, d *SessionData) string {
	names := make([]string, 0, len(d.Taps))
	for _, t := range d.Taps {
		names = append(names, t.Name)
	}
	verb := "began"
	if e.Kind == SessionResumed {
		verb = "goes on"
	}
	return fmt.Sprintf("session %s: %s, listening at %s", verb, d.Model, text.And(names))
}

func struckSentence(_ *Event, _ string, d *StrikeData) string {
	s := fmt.Sprintf("struck is the mark of %s: %s", unit.FormatClock(d.MarkNS), d.Text)
	if d.Why != "" {
		s += "; " + d.Why
	}
	return s
}

func gapSentence(_ *Event, _ string, d *RecordingGapData) string {
	if !d.Ended {
		return "RECORDING STOPPED, watching goes on: " + d.Why
	}
	return fmt.Sprintf("recording goes on: %s; %d inputs are not in it", d.Why, d.Inputs)
}

// FaultData belongs to judgement.failed.
type FaultData struct {
	Input string `json:"input"` // the kind of input at which it gave up
	Fault string `json:"fault"`
}

func clockSentence(_ *Event, _ string, d *ClockData) string {
	return fmt.Sprintf("the computer's clock was set by %s; times here go on as before", unit.FormatDuration(d.StepNS))
}

func failureSentence(_ *Event, _ string, d *FaultData) string {
	return fmt.Sprintf("JUDGEMENT FAILED at an input of kind %s (%s) and started afresh: a fault of benchproof's own, please report it", d.Input, d.Fault)
}
