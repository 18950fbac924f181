// Package event holds what enters judgement (Input), what decoding makes of it
// (Observation), what watchers conclude (Event), and the sentence of each event for
// people at the bench. It judges nothing.
package event

import "benchproof.example/monitor/unit"

// InputKind says what an input is.
type InputKind uint8

// The kinds of input. Each is one recorded packet; nothing else enters
// judgement. InputNames gives them their names in recordings.
const (
	InputBegin         InputKind = iota + 1 // a session starts; Data is a Start as JSON
	InputResume                             // a session goes on after its daemon stopped; Data is a Start as JSON
	InputEnd                                // the sitting is over
	InputBeat                               // one each second; Data is the wall clock, Unix ns, 8 bytes big-endian
	InputTapUp                              // a tap can be read; Data is a PortData as JSON
	InputTapDown                            // a tap is gone; Data is why, as text
	InputBytes                              // characters as they came
	InputBadBytes                           // characters that the port marked as bad
	InputEdges                              // line edges
	InputOverrun                            // the port lost characters; Data is a count as decimal text
	InputRecordingGap                       // the recording stops or goes on; Data is a RecordingGapInput as JSON
	InputMark                               // the builder says something; Data is the text
	InputDrillStep                          // a drill moves on; Data is its JSON
	InputReopen                             // verdicts are to be seen anew; Data is what
	InputRecordingHurt                      // what was recorded before is not as it was written; Data is a RecordingHurtData as JSON
	InputStrike                             // the builder takes the words of a mark back; Data is a StrikeData as JSON
	InputPapers                             // an entry of the model's papers; Data is a Paper as JSON
)

// InputNames names the kinds, in recordings and messages.
var InputNames = [...]string{
	InputBegin: "begin", InputResume: "resume", InputEnd: "end", InputBeat: "beat", InputTapUp: "tap-up", InputTapDown: "tap-down",
	InputBytes: "bytes", InputBadBytes: "bad-bytes", InputEdges: "edges", InputOverrun: "overrun", InputRecordingGap: "recording-gap",
	InputMark: "mark", InputDrillStep: "drill-step", InputReopen: "reopen",
	InputRecordingHurt: "recording-hurt", InputStrike: "strike", InputPapers: "papers",
}

func (k InputKind) String() string {
	if int(k) < len(InputNames) && InputNames[k] != "" {
		return InputNames[k]
	}
	return "unknown"
}

// BenchTap is the Tap of inputs that belong to no tap: beats, marks, begin and
// end. Taps proper count from 1, in the order of Start.Taps.
const BenchTap = 0

// Input is one dated thing that enters judgement, and one recorded packet.
type Input struct {
	At   unit.Time // set under the sequencer's one lock; never decreasing; whole microseconds
	Tap  uint8
	Kind InputKind
	Data []byte // lent for the call
}

// Start is the Data of Begin and Resume.
type Start struct {
	Build  string    `json:"build"`   // the program that heard it
	WallNS int64     `json:"wall_ns"` // the wall clock at this moment, Unix ns
	Taps   []TapName `json:"taps"`    // tap n of an Input is Taps[n-1]
	// Seq is, on Resume, the number that the next event takes: a session that
	// was cut off inside a recording gap may have journalled what no recording
	// can give back.
	Seq int64 `json:"seq,omitempty"`
	// Until is, on Begin, the goal of a long run as ParseQuiet reads it: so long without an
	// outage. It is declared before anything is heard, and stands for the whole session.
	Until string `json:"until,omitempty"`
}

// TapName names a tap and says what it hears.
type TapName struct {
	Name string `json:"name"`
	Kind string `json:"kind"` // "bus", "pulses" or "tilt"
	// Protocol is the name of a bus's protocol, as the sheet has it; left out, it is the
	// servo bus, as in recordings from before there were others.
	Protocol string `json:"protocol,omitempty"`
}

// Port is the Data of InputTapUp: what is being read and how it is set.
type Port struct {
	Port     string `json:"port"`               // stable name where there is one
	Settings string `json:"settings,omitempty"` // e.g. "100000 8E2"
	Latency  string `json:"latency,omitempty"`  // e.g. "1 ms", as far as known
	Errors   string `json:"errors,omitempty"`   // why characters with errors can't be known; "": they can, or nobody knows
}

// RecordingGapInput is the Data of InputRecordingGap. At its beginning Ended is false. At its end
// the bench starts afresh from nothing, so that a replay, which never sees what
// the gap swallowed, goes on with the same state; Seq is the number that the
// next event takes.
type RecordingGapInput struct {
	Ended  bool   `json:"ended"`
	Why    string `json:"why"`
	Inputs int64  `json:"inputs,omitempty"` // how many the recording lacks
	Seq    int64  `json:"seq,omitempty"`
}
