package state

// Tallies count since the session began, and never go down. Who knows counts in them; the
// state and a session's record embed them, and each metric is a row that reads one member. So
// a new counter is a member here and a row in the metrics.

// PortTally counts what came through a tap's port.
type PortTally struct {
	Ups       int64 `json:"ups"`   // how often it came up
	LostChars int64 `json:"lost"`  // characters that the port lost before they were read
	Bytes     int64 `json:"bytes"` // characters read
	BadChars  int64 `json:"bad"`   // of these, marked as bad by the port
}

// FrameTally counts the frames of a bus by what is known of each alone.
type FrameTally struct {
	Frames   int64 `json:"frames"`   // all that were believed
	Missed   int64 `json:"missed"`   // of these, flagged: the receiver did not hear the transmitter; before a link and in a loss too
	Failsafe int64 `json:"failsafe"` // of these, flagged: the receiver has given up
	Damaged  int64 `json:"damaged"`  // of these, with a bad character in them; their flags count for nothing
}

// LinkTally counts what the watchers of a bus find out from many frames. What was missed
// on the air, what the bus left out and what was damaged on the wire are never added up.
type LinkTally struct {
	LinkFrames     int64 `json:"link_frames"`      // of a live link, undamaged; the claim link/missed rests on these
	LinkMissed     int64 `json:"link_missed"`      // of these, missed on the air
	LinkMissedRuns int64 `json:"link_missed_runs"` // runs of such, each between two live frames
	GapFrames      int64 `json:"gaps"`             // frames that the bus left out, by its own rhythm
	GapRuns        int64 `json:"gap_runs"`         // runs of such
	DamageRuns     int64 `json:"damage_runs"`      // runs of damage on the wire, in pieces of ten seconds; refused bytes are damage too
}

// BoardTally counts what a capture board said.
type BoardTally struct {
	Lines     int64 `json:"lines"`      // taken
	LostLines int64 `json:"lost_lines"` // lacking by their numbers
	Dropped   int64 `json:"dropped"`    // pulses that it could not report, by its own count
	Restarts  int64 `json:"restarts"`
}

// PhoneTally is what came from a phone on the model.
type PhoneTally struct {
	Attitudes     int64 `json:"attitudes"`      // heard
	LostSentences int64 `json:"lost_sentences"` // lacking by their numbers
}
