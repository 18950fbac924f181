package tilt

// Reason says why bytes are not part of a sentence that was taken. The words are the same in
// log, metrics and timeline.
type Reason uint8

// The reasons.
const (
	Outside    Reason = iota // between sentences, where nothing belongs
	Spoilt                   // a sentence with a character that the port marked as bad
	BadSum                   // one whose sum does not fit
	TooLong                  // one that does not end
	CutOff                   // one in which another begins, or the stream ends
	Malformed                // one whose fields are not what they should be
	Unknown                  // one of another kind
	OutOfOrder               // one whose number or time is not ahead of the last one's
	Second                   // one of a second phone, while the first is heard

	Reasons = 9
)

var reasonWords = [Reasons]string{
	"outside", "spoilt", "bad-sum", "too-long", "cut-off", "malformed", "unknown", "out-of-order", "second-phone",
}

func (r Reason) String() string {
	if int(r) < len(reasonWords) {
		return reasonWords[r]
	}
	return "unknown reason"
}

// Account is where the bytes went: In is Taken, those refused, and those of a sentence that
// is not complete (Decoder.Pending).
type Account struct {
	In        int64          // bytes fed
	Taken     int64          // bytes of sentences taken
	Attitudes int64          // given
	Statuses  int64          // given
	Refused   [Reasons]int64 // bytes, by reason
	Lost      int64          // sentences lacking, by their numbers
	Restarts  int64          // another phone, or the same page anew
}

// RefusedTotal is the number of bytes refused for any reason.
func (a *Account) RefusedTotal() (n int64) {
	for _, v := range a.Refused {
		n += v
	}
	return n
}
