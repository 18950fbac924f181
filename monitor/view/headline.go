package view

import (
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
)

// PartName says what a part of the status line is about.
type PartName string

// The parts of the status line.
const (
	PartLink      PartName = "link"      // of all buses, how they do
	PartListening PartName = "listening" // there is no sheet
	PartMode      PartName = "mode"      // asked for
	PartThrottle  PartName = "throttle"
	PartGain      PartName = "gain"
	PartRecorder  PartName = "recorder" // what is wrong with the evidence
	PartLate      PartName = "late"     // judgement is behind
	PartWrong     PartName = "wrong"    // how many claims were seen wrong
	PartBoard     PartName = "board"    // of a capture board, how it does
	PartSoak      PartName = "soak"     // one thing about a long run
	PartTime      PartName = "time"     // since the session began
	PartDrill     PartName = "drill"    // under way
	PartSwitch    PartName = "switch"   // one of them, and its place
	PartOutputs   PartName = "outputs"  // the widths of their pulses
)

// Part is one thing about the present, in the words that the status line of a terminal has.
type Part struct {
	Part  PartName `json:"part"`
	Text  string   `json:"text"`
	Grade string   `json:"grade"` // "plain", "trouble" or "wrong": how much it is to stand out
}

// Headline is what the status line says, in its order, as data: a terminal and a page say the
// same. What is not heard now is "--".
func Headline(s *state.State, sh *sheet.Sheet) []Part {
	list := []Part{}
	for _, p := range statusParts(s, sh) {
		list = append(list, Part{p.part, p.text, p.grade.String()})
	}
	return list
}

// String names a grade.
func (g Grade) String() string { return [...]string{"plain", "right", "trouble", "wrong"}[g] }
