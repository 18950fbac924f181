package pulse

// EdgeFault says why edges made no pulse, or what had to be taken out of one. The words
// are the same wherever it is shown.
type EdgeFault uint8

// The faults.
const (
	Glitch       EdgeFault = iota // a level under the glitch limit: taken out
	Chatter                       // glitches one behind the other: where the edge is nobody knows
	SplitPulse                    // a pause too short to be one: neither part is a pulse
	Narrow                        // narrower than any pulse
	Wide                          // wider than any pulse: two of them merged, an edge missed
	UnknownLevel                  // a line neither high nor low
	MissingEdge                   // two edges the same way
	Unfinished                    // the edges begin or end inside a pulse
	Backward                      // a tick before the last one: the clock began anew

	Faults = 9
)

var faultWords = [Faults]string{"glitch", "chatter", "split", "too-narrow", "too-wide", "unknown-level", "missing-edge", "cut-off", "backward"}

func (f EdgeFault) String() string {
	if int(f) < len(faultWords) {
		return faultWords[f]
	}
	return "unknown fault"
}

// MeterAccount is what became of a line's edges.
type MeterAccount struct {
	Edges  int64 // taken
	Pulses int64 // given
	Faults [Faults]int64
}
