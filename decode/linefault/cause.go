package linefault

// Cause is why nothing can be read on a line.
type Cause uint8

// The causes.
const (
	None     Cause = iota // none of these
	Nothing               // no character at all
	Healthy               // a bus of the protocol, as it should be
	Inverted              // no inverter, or one too many
	Parity                // the port wants another parity
	Rate                  // the port reads at another rate than the line is sent at
	Stream                // another serial stream
	Pulses                // servo pulses
	Noise                 // a wire that is not connected
	Mains                 // no ground: the wire picks up the hum of the mains
	Clumps                // a healthy bus, handed over late and in batches
	Driver                // the port loses characters
	Causes
)

var causeNames = [Causes]string{
	"none", "nothing", "healthy", "inverted", "parity", "rate", "stream", "pulses", "noise", "mains", "clumps", "driver",
}

// String is the cause in one word, as data have it.
func (c Cause) String() string {
	if c < Causes {
		return causeNames[c]
	}
	return "unknown"
}

// CauseOf is the cause of a word, as data have it; false where there is none of that name.
func CauseOf(word string) (Cause, bool) {
	for c, name := range causeNames {
		if name == word {
			return Cause(c), true
		}
	}
	return None, false
}
