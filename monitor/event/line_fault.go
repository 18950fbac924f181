package event

import (
	"fmt"
	"strings"
)

// LineFault is the kind of event of a line on which nothing can be read.
const LineFault = "line.fault"

var lineFaultKind = trouble(row(LineFault, "tap:NAME", "Nothing can be read on the line: the most likely cause, how sure that is, what it rests on "+
	"and what to do. Once while nothing can be read, and again where the cause found is another one. Its onset is where the stretch began that was looked at.",
	lineFaultSentence))

// LineFaultData belongs to line.fault.
type LineFaultData struct {
	// Cause is none (of these), nothing (arrives), inverted, parity, rate, stream (another one),
	// pulses (of a servo), noise, mains (no ground), clumps or driver.
	Cause    string   `json:"cause"`
	Detail   string   `json:"detail,omitempty"`  // of rate: how the port reads, or the line is sent
	Sure     int64    `json:"sure"`              // of a hundred
	Or       string   `json:"or,omitempty"`      // the next likely cause
	OrSure   int64    `json:"or_sure,omitempty"` // of a hundred
	Sentence string   `json:"sentence"`
	Evidence []string `json:"evidence"` // what was heard, in words
	Remedy   string   `json:"remedy"`
}

// Because is the finding in full: cause with its percent, evidence, remedy.
func (d *LineFaultData) Because() string {
	return fmt.Sprintf("%s. Heard: %s. To do: %s", d.Sentence, strings.Join(d.Evidence, ", "), d.Remedy)
}

func lineFaultSentence(_ *Event, name string, d *LineFaultData) string {
	return fmt.Sprintf("%s: NOTHING CAN BE READ, %s", name, d.Because())
}
