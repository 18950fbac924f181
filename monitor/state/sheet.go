package state

import "benchproof.example/monitor/unit"

// Sheet is the set-up sheet of a session as those see it who look from outside: its own lines,
// and which of them states what. Package view makes it; it stays the same as long as the session.
type Sheet struct {
	Name   string       `json:"name"` // of its file
	Hash   string       `json:"hash"` // SHA-256 of its text, 64 hex digits
	Model  string       `json:"model"`
	Lines  []SheetLine  `json:"lines"`
	Claims []SheetClaim `json:"claims"` // in the order of the sheet
	Cells  []SheetCell  `json:"cells"`  // windows of the modes
}

// SheetLine is one line of the text.
type SheetLine struct {
	Number int       `json:"number"` // from 1
	Text   string    `json:"text"`   // as it is written
	Says   string    `json:"says"`   // without its remark; "" where nothing is said: a remark alone, or a blank line
	Claims []string  `json:"claims"` // IDs of those that it states
	Reads  SheetRead `json:"reads"`
}

// SheetRead is what of the present a line is about.
type SheetRead struct {
	Kind   string `json:"kind"`   // "channel", "mode", "gain", "link", "output" or "none"
	Name   string `json:"name"`   // of the channel, the mode, the output's surface or the tap; "" for all
	Number int    `json:"number"` // of the channel or output, else 0
	Place  string `json:"place"`  // of the channel, that the line is about; "" for none
}

// SheetClaim is what of a claim follows from the sheet alone.
type SheetClaim struct {
	ID        string `json:"claim"`
	Line      int    `json:"line"`       // the number of the line that states it
	Heading   string `json:"heading"`    // what a report puts it under
	Reopens   string `json:"reopens"`    // what to name to have it seen anew
	Channels  []int  `json:"channels"`   // those that show what became of it, by number
	OnlyWrong bool   `json:"only_wrong"` // it can be seen wrong, but never right
}

// SheetCell is the window of one channel in which a mode is asked for, where those of its cell
// hold too.
type SheetCell struct {
	Mode    string     `json:"mode"`
	Cell    int        `json:"cell"` // of the mode, from 0: all windows of it must hold
	Channel int        `json:"channel"`
	FromNS  unit.Width `json:"from_ns"` // the first width that is inside
	ToNS    unit.Width `json:"to_ns"`   // the first that is not
}
