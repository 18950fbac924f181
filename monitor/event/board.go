package event

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"benchproof.example/monitor/unit"
)

// BoardHeardData belongs to board.heard.
type BoardHeardData struct {
	SilentNS unit.Duration `json:"silent_ns"` // how long none had come; 0 for the first
	TickNS   unit.Duration `json:"tick_ns"`   // the board's own; 0: not reported yet
	Restarts int           `json:"restarts"`  // since the tap came up
}

// BoardLostData belongs to board.lost: a run of trouble between board and computer.
// What was in lost lines is absent, never guessed.
type BoardLostData struct {
	Lines    int64            `json:"lines"`    // lacking by their numbers
	Dropped  int64            `json:"dropped"`  // pulses that the board says it could not report
	Refused  map[string]int64 `json:"refused"`  // bytes refused, by reason
	Restarts int64            `json:"restarts"` // of the board
	SpanNS   unit.Duration    `json:"span_ns"`
}

// What the screen says of a capture board that is not heard.
const (
	noBoardLine = "%d bytes came, but no line of a capture board: is this its port, and the bus on the other? Does it " +
		"send at another rate (--leads-baud)?"
	boardNeverHeard = "the capture board is SILENT, no line has come from it yet: is this its port, and is its firmware " +
		"on it?"
	boardSilentNow = "the capture board is SILENT, no line from it any more"
)

func boardSilentSentence(_ *Event, name string, d *SilentData) string {
	switch {
	case d.Refused > 0:
		return name + ": " + fmt.Sprintf(noBoardLine, d.Refused)
	case d.Never:
		return name + ": " + boardNeverHeard
	}
	return name + ": " + boardSilentNow
}

func boardHeardSentence(_ *Event, name string, d *BoardHeardData) string {
	s := name + ": the capture board is heard"
	if d.SilentNS > 0 {
		s += " again, after " + unit.FormatDuration(d.SilentNS)
	}
	if d.TickNS > 0 {
		s += fmt.Sprintf(", its clock ticks each %d ns", d.TickNS)
	}
	return s
}

func boardLostSentence(_ *Event, name string, d *BoardLostData) string {
	parts := []string{}
	add := func(n int64, one, many string) {
		if n == 1 {
			parts = append(parts, "1 "+one)
		} else if n > 1 {
			parts = append(parts, fmt.Sprintf("%d %s", n, many))
		}
	}
	add(d.Lines, "line is lacking", "lines are lacking")
	add(d.Dropped, "pulse that the board could not tell", "pulses that the board could not tell")
	for _, reason := range slices.Sorted(maps.Keys(d.Refused)) {
		add(d.Refused[reason], "byte refused ("+reason+")", "bytes refused ("+reason+")")
	}
	add(d.Restarts, "restart of the board", "restarts of the board")
	return fmt.Sprintf("%s: trouble between board and computer within %s: %s; what was in it is not known",
		name, unit.FormatDuration(d.SpanNS), strings.Join(parts, ", "))
}
