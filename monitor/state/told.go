package state

// What is said of the present in words, as data: package view makes it, terminal and page show it.

// Part is one thing that is said of the present, in the order in which it is said.
type Part struct {
	Part  PartName `json:"part"`  // what it is about
	Text  string   `json:"text"`  // as the status line has it
	Grade string   `json:"grade"` // "plain", "trouble", or "wrong" where a claim is, or the evidence is lost
}

// PartName says what is said of the present.
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
	PartPhone     PartName = "phone"    // of a phone on the model, how it does
	PartSoak      PartName = "soak"     // one thing about a long run
	PartTime      PartName = "time"     // since the session began
	PartDrill     PartName = "drill"    // under way
	PartSwitch    PartName = "switch"   // one of them, and its place
	PartOutputs   PartName = "outputs"  // the widths of their pulses
)

// Next is one thing to do, and the claims that it would settle.
type Next struct {
	Do       string    `json:"do"`       // as a part of a sentence: "put aid to third", "drill failsafe"
	Drill    string    `json:"drill"`    // the drill that it is, "" for none
	Claims   []string  `json:"claims"`   // their IDs
	Settings []Setting `json:"settings"` // the controls that it is done to; none where it is a drill, or names none
	Waits    bool      `json:"waits"`    // nothing is to be done but to go on listening
}

// Setting is a control and where it is to be.
type Setting struct {
	Channel string `json:"channel"` // its name
	Place   string `json:"place"`   // "" where it is only moved
}
