package servobus

// Reason says why bytes are not part of a frame. The words are the same in
// log, metrics, page and timeline.
type Reason uint8

// The reasons.
const (
	NoHeader    Reason = iota // a byte that begins no frame
	NoFooter                  // a header byte without an end 24 bytes on
	Unconfirmed               // looks like a frame, but no neighbour bears it out
	CutOff                    // the stream ended or was interrupted inside it

	Reasons = 4
)

var reasonWords = [Reasons]string{"no-header", "no-footer", "unconfirmed", "cut-off"}

func (r Reason) String() string {
	if int(r) < len(reasonWords) {
		return reasonWords[r]
	}
	return "unknown"
}

// Account is where every byte went: In = FrameLen·Frames + refused + pending.
type Account struct {
	In       int64          // bytes fed
	Frames   int64          // frames found
	Refused  [Reasons]int64 // bytes, by reason
	OddFlags int64          // frames whose flag bits 4..7 are not zero; they are frames all the same
	Locks    int64          // how often the framer locked
}

// RefusedTotal is the number of bytes refused for any reason.
func (a *Account) RefusedTotal() (n int64) {
	for _, v := range a.Refused {
		n += v
	}
	return n
}
