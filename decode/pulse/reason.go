package pulse

// Reason says why bytes are not part of a line that was taken. The words are the
// same in log, metrics and timeline.
type Reason uint8

// The reasons.
const (
	Outside    Reason = iota // between lines, where nothing belongs
	Spoilt                   // a line with a character that the port marked as bad
	BadSum                   // a line whose sum does not fit
	TooLong                  // a line that does not end
	CutOff                   // a line in which another begins, or the stream ends
	Malformed                // a line whose fields are not what they should be
	Unknown                  // a line of another kind
	NoTick                   // a pulse before the board reported how long its tick is
	OutOfOrder               // a pulse whose number and time do not follow the last one's
	Repeated                 // a pulse that was reported before
	Split                    // a pulse that rose when the one before had hardly fallen
	TooNarrow                // narrower than any pulse
	TooWide                  // wider than any pulse: two of them merged, an edge missed

	Reasons = 13
)

var reasonWords = [Reasons]string{
	"outside", "spoilt", "bad-sum", "too-long", "cut-off", "malformed", "unknown", "no-tick",
	"out-of-order", "repeated", "split", "too-narrow", "too-wide",
}

func (r Reason) String() string {
	if int(r) < len(reasonWords) {
		return reasonWords[r]
	}
	return "unknown reason"
}

// Account is where the bytes of a capture board went: In is Taken, those refused,
// and those of a line that is not complete (Lines.Pending).
type Account struct {
	In       int64          // bytes fed
	Taken    int64          // bytes of lines taken
	Lines    int64          // taken
	Pulses   int64          // given
	Infos    int64          // lines in which the board spoke of itself
	Refused  [Reasons]int64 // bytes, by reason
	Lost     int64          // lines lacking, by their numbers; a board may number pulses that it drops, too
	Dropped  int64          // pulses that the board says it could not report
	Restarts int64          // of the board, but for Expected
	Expected int64          // restarts soon after the port was opened: opening it resets many a board (common practice)
}

// RefusedTotal is the number of bytes refused for any reason.
func (a *Account) RefusedTotal() (n int64) {
	for _, v := range a.Refused {
		n += v
	}
	return n
}
