package mix

import "benchproof.example/monitor/unit"

// framesFrom is how far from the date of an episode its frames count, ns: the
// earliest are a history before it.
const framesFrom = 2 * history

// Episode is a short stretch of time in which something moved, with enough of what
// was on the bus before.
type Episode struct {
	At     unit.Time    `json:"at"`     // from when its pulses are, ns
	Key    int          `json:"key"`    // which channel moved most, and where
	Base   []unit.Width `json:"base"`   // widths of all channels with the first frame, ns
	Moved  []int        `json:"moved"`  // indexes of those that changed
	Frames triples      `json:"frames"` // dates of the frames, µs, from At less framesFrom
	Widths triples      `json:"widths"` // of those that changed, ns, frame by frame
	Pulses triples      `json:"pulses"` // output, rise from At in µs, width in ns

	track *track // the same for fits; nil: none has asked for it
}

// triples are whole numbers from 0 to 2^24-1, three bytes each, the lowest first:
// checkpoints are written each minute and shall stay small.
type triples []byte

func (t triples) count() int { return len(t) / 3 }

func (t triples) at(i int) int64 {
	b := t[3*i : 3*i+3]
	return int64(b[0]) | int64(b[1])<<8 | int64(b[2])<<16
}

func (t *triples) add(v int64) {
	v = max(0, min(v, 1<<24-1))
	*t = append(*t, byte(v), byte(v>>8), byte(v>>16))
}
