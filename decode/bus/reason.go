package bus

// Reason says why bytes are not part of a frame. The words are the same for all
// protocols, and the same in log, metrics, page and timeline. A protocol uses those
// that its row lists.
type Reason uint8

// The reasons.
const (
	NoHeader    Reason = iota // a byte that begins no frame
	NoFooter                  // a header without the end that belongs to it
	Unconfirmed               // looks like a frame, but no neighbour bears it out
	CutOff                    // the stream ended or was interrupted inside it
	BadSum                    // a header whose bytes don't have the checksum that follows them

	Reasons = 5
)

var reasonWords = [Reasons]string{"no-header", "no-footer", "unconfirmed", "cut-off", "bad-sum"}

func (r Reason) String() string {
	if int(r) < len(reasonWords) {
		return reasonWords[r]
	}
	return "unknown"
}
