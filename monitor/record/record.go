// Package record is what a session showed, as data: record.json.
//
// A record is made from nothing but the inputs and the sheet of a session. It knows
// no clock: the same recording and the same build give the same record, byte for byte.
package record

import (
	"fmt"
	"time"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// Format is the format of records that this package makes and the newest that it
// reads.
const Format = 1

// Record is what one session showed. Names of members end in their unit: _ns is
// nanoseconds, of bench time (from the session's beginning) where a member reports
// when, of pulse width where it reports a width. -1 in a time: it never came, or is
// not known.
type Record struct {
	Format   int                `json:"record"`    // Format
	Model    string             `json:"model"`     // as the sheet has it
	Begun    time.Time          `json:"begun"`     // UTC, whole milliseconds
	LengthNS unit.Duration      `json:"length_ns"` // from the beginning to the last input
	Ended    bool               `json:"ended"`     // false: it was cut off, or still goes on
	Runs     int64              `json:"runs"`      // how often it was begun or gone on with
	Builds   []string           `json:"builds"`    // the programs that listened, each once
	Flaws    []string           `json:"flaws"`     // sentences on what is wrong with the recording
	Windows  string             `json:"windows"`   // of the modes: "manual", "measured", "guess", "" without a stabiliser
	Count    state.VerdictCount `json:"count"`     // of claims by verdict

	Taps   []Tap               `json:"taps"`   // those of the sheet, in its order
	Modes  []CombinationResult `json:"modes"`  // every combination of positions of the switches that choose the mode
	Claims []Claim             `json:"claims"` // in the order of the sheet
	Losses []Loss              `json:"losses"` // in the order of time
	Drills []Drill             `json:"drills"` // in the order of time
	Walks  []Walk              `json:"walks"`  // range walks, the latest four, in the order of time

	Outputs []Output `json:"outputs"` // those of the sheet and all others that were heard, by number
	Tilts   []Tilt   `json:"tilts"`   // in the order of time

	Marks    []Mark   `json:"marks"`    // what the builder said
	Reopened []Mark   `json:"reopened"` // what was to be seen anew from then on
	Timeline Digest   `json:"timeline"`
	Unseen   []Unseen `json:"unseen"` // what was not looked at, or looked at and not settled
	Traces   []Trace  `json:"traces"`
	Sheet    string   `json:"sheet"` // its text

	Papers []event.Paper `json:"papers,omitempty"` // of the model, as they stood at the end; absent where it has none

	Account *state.Account `json:"account,omitempty"` // of the session as a long run; absent in records of earlier builds
}

// Tap is one tap of the sheet and what its line was like.
type Tap struct {
	Name    string   `json:"name"`
	Kind    string   `json:"kind"`    // "bus", "pulses" or "tilt"
	Carries string   `json:"carries"` // "heard", "stabilised" or "unknown", by the sheet
	Heard   bool     `json:"heard"`   // frames came, or pulses
	Ports   []string `json:"ports"`   // what was read, with its settings, each once

	PeriodNS unit.Duration `json:"period_ns"` // from frame to frame, 0 while unknown
	state.FrameTally
	state.LinkTally
	state.PortTally

	Refused []Refused `json:"refused"` // bytes that are part of no frame and no board's line, the reasons that occurred
	Outages []Outage  `json:"outages"` // by kind, those that occurred

	Ranges []state.ChannelRange `json:"ranges,omitempty"` // of a bus, under a sheet without channels: how far each channel went
}

// Refused counts bytes that are part of no frame.
type Refused struct {
	Reason string `json:"reason"`
	Bytes  int64  `json:"bytes"`
}

// Outage describes the stretches in which one thing was missing.
type Outage struct {
	// Kind is "missed" (flagged frames in a row, of a live link), "failsafe" (its flag stood), "silent"
	// (no frames) or "port" (nothing to read from).
	Kind      string        `json:"kind"`
	Times     int           `json:"times"`
	LongestNS unit.Duration `json:"longest_ns"` // -1: none was over when the session ended
}

// CombinationResult reports what one combination of switch positions asks for.
type CombinationResult struct {
	At       []Setting  `json:"at"`
	Wanted   string     `json:"wanted"`    // the mode that the sheet wants there, "" for none
	Seen     bool       `json:"seen"`      // the bus showed it
	Mode     string     `json:"mode"`      // asked for, "" for none of the sheet's; where not seen, by the sheet's widths
	MarginNS unit.Width `json:"margin_ns"` // width from the nearest edge of the window, 0 with no mode
	Claim    string     `json:"claim"`     // the ID of the claim on it, "" for none
	Margin   string     `json:"margin"`    // the ID of the claim on its margin, "" for none
}

// Setting is one switch at one of its positions.
type Setting struct {
	Channel  string     `json:"channel"`
	Position string     `json:"position"`
	WidthNS  unit.Width `json:"width_ns"` // as seen, else the sheet's
}

// Claim is one claim as it stood at the end.
type Claim struct {
	ID       string           `json:"claim"`
	Verdict  string           `json:"verdict"` // "open", "seen right", "seen wrong" or "stale"
	Sentence string           `json:"sentence"`
	Evidence []event.Span     `json:"evidence"`
	Figures  map[string]int64 `json:"figures"` // names end in the unit
	Settle   string           `json:"settle"`  // how it comes to be seen
	Drill    string           `json:"drill"`   // the drill that settles it, "" where the wire alone does
	Trace    string           `json:"trace"`   // ID of the trace around the latest evidence, "" for none
}

// Loss is one loss of the signal.
type Loss struct {
	At       time.Time      `json:"at"`       // UTC, of the last frame known live
	Answer   string         `json:"answer"`   // what may be known of it, a paragraph
	Findings []Finding      `json:"findings"` // what is not as the sheet wants
	Data     event.LossData `json:"loss"`     // as in the timeline's loss.measured
	Trace    string         `json:"trace"`    // ID of the trace of the moment, "" for none
}

// Finding is one thing about a loss that is not as the sheet wants.
type Finding struct {
	Code string `json:"code"` // a word for scripts
	Text string `json:"text"`
}

// Drill is one exercise.
type Drill struct {
	Name     string    `json:"name"`
	BeganNS  unit.Time `json:"began_ns"`
	EndedNS  unit.Time `json:"ended_ns"` // -1: it was under way when the recording ended
	Prompts  int       `json:"prompts"`  // that it has
	Answered int       `json:"answered"`
	How      string    `json:"how"` // "finished", "abandoned", "timed out", "interrupted", "" while under way
	Why      string    `json:"why"` // a sentence, "" where How says it all
}

// Mark is something dated that the builder said.
type Mark struct {
	AtNS   unit.Time `json:"at_ns"`
	Text   string    `json:"text"`
	Struck *Strike   `json:"struck,omitempty"` // its words were taken back; absent where they were not
}

// Strike is that a mark was struck.
type Strike struct {
	AtNS unit.Time `json:"at_ns"`
	Why  string    `json:"why"` // what was said to that, "" for nothing
}

// Digest is the timeline without what repeats itself.
type Digest struct {
	Events []TimelineEntry  `json:"events"`
	Left   map[string]int64 `json:"left"` // events that are left out, by kind
}

// TimelineEntry is one event in words.
type TimelineEntry struct {
	AtNS unit.Time `json:"at_ns"`
	Kind string    `json:"kind"`
	Text string    `json:"text"`
}

// Unseen is one thing that was not looked at, or looked at and not settled.
type Unseen struct {
	// What is a word for scripts: "claims", "tap", "leads", "response", "heartbeat", "windows", "loss", "power-up", "carries",
	// "recording", "sheet".
	What string `json:"what"`
	Text string `json:"text"` // a sentence
}

// Trace is how channels moved around one moment.
type Trace struct {
	ID     string      `json:"id"`
	Tap    string      `json:"tap"`
	FromNS unit.Time   `json:"from_ns"`
	ToNS   unit.Time   `json:"to_ns"`
	Lines  []TraceLine `json:"lines"`
	Signal []Signal    `json:"signal"` // each holds until the next, the last to the end
}

// TraceLine is the course of one channel: each width holds until the next point.
type TraceLine struct {
	Channel int        `json:"channel"` // from 1
	Name    string     `json:"name"`    // in the sheet, "" where it has none
	Points  [][2]int64 `json:"points"`  // bench time and width, both ns
}

// Signal says whose values a tap carried from a moment on.
type Signal struct {
	FromNS unit.Time `json:"from_ns"`
	Whose  string    `json:"whose"` // "live", "missed", "failsafe", or "silent" where no frames came
}

// Output is one servo lead and what it was seen to do.
type Output struct {
	Output    int                      `json:"output"`
	Surface   string                   `json:"surface"`    // in the sheet, "" where it has none
	Heard     bool                     `json:"heard"`      // its pulses came
	PeriodNS  unit.Duration            `json:"period_ns"`  // 0: not known
	JitterNS  unit.Width               `json:"jitter_ns"`  // the largest at rest in a mode that the sheet has without corrections; -1: none was measured
	Silences  int                      `json:"silences"`   // how often its pulses stopped
	ClippedNS []unit.Width             `json:"clipped_ns"` // widths at which it was cut off, each once
	Follows   *event.OutputFollowsData `json:"follows"`    // the mix that was found last, and the range over all; null: none was

	Shifts []event.OutputShiftedData `json:"shifts,omitempty"` // jumps at rest, the latest between each two; records made before have none
}

// Tilt is one time that somebody was to tilt the model.
type Tilt struct {
	AtNS   unit.Time `json:"at_ns"`
	Drill  string    `json:"drill"`
	Prompt string    `json:"prompt"`
	Who    string    `json:"who"` // "" where nobody said
	By     string    `json:"by"`  // "builder": an Enter said that it was tilted; "count": it was counted out, and nobody said so
}

// WhoTilted says who tilted and how that is known.
func (t Tilt) WhoTilted() string {
	who := t.Who
	if who == "" {
		who = "somebody (no name was given)"
	}
	if t.By == "builder" {
		return fmt.Sprintf("%s %s: %s tilted it, and a tap said so", FormatTenths(t.AtNS), t.Prompt, who)
	}
	return fmt.Sprintf("%s %s: %s was to tilt it, by a spoken count; nothing else says that it was done", FormatTenths(t.AtNS), t.Prompt, who)
}

// Title is how the channel is called.
func (l *TraceLine) Title() string {
	if l.Name != "" {
		return l.Name
	}
	return fmt.Sprintf("channel %d", l.Channel)
}

// FormatTenths is bench time to the tenth of a second.
func FormatTenths(t unit.Time) string {
	s := unit.FormatClock(t)
	return s[:len(s)-2]
}
