// Package state holds what a bench is like at one moment, as those who look from
// outside see it: the metrics, the page, other programs. It is plain data, made
// by the bench and by the session between two inputs, and never changed once it
// was handed out. It judges nothing.
package state

import (
	"benchproof.example/decode/pulse"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

// State is one moment of a session.
type State struct {
	Model    string    `json:"model"`
	Build    string    `json:"build"`             // the program that listens
	NowNS    unit.Time `json:"now_ns"`            // bench time when this was asked for
	SeenNS   unit.Time `json:"seen_ns"`           // bench time up to which inputs are judged
	WallNS   int64     `json:"wall_ns"`           // Unix ns at bench time 0, by the latest anchor
	Seq      int64     `json:"seq"`               // number of the latest event
	Runs     int64     `json:"runs"`              // how often this session was begun or resumed
	Drill    string    `json:"drill"`             // name of the drill under way, "" for none
	Prompt   *Prompt   `json:"prompt,omitempty"`  // how far that drill is
	Faults   int64     `json:"faults"`            // how often judgement gave up and began afresh
	Taps     []Tap     `json:"taps"`              // in the order of the sheet's taps that are heard
	Claims   []Claim   `json:"claims"`            // in the order of the sheet
	Recorder Recorder  `json:"recorder"`          // what keeps the evidence
	Account  *Account  `json:"account,omitempty"` // of the whole session; absent before an engine made it

	WrongTokens int64 `json:"wrong_tokens"` // that came in over the network since this program began
}

// Tap is one tap.
type Tap struct {
	Name string `json:"name"`
	Kind string `json:"kind"` // "bus", "pulses" or "tilt"

	Up   bool       `json:"up"`   // the port is open
	Port event.Port `json:"port"` // as last opened
	Why  string     `json:"why"`  // why it is not up, "" while it is and before it first was
	PortTally
	Refused []Refused `json:"refused"` // bytes that are part of no frame, every reason

	Locked    bool         `json:"live"`    // frames come; what follows until LastNS is old if not
	Signal    event.Signal `json:"signal"`  // whose values the latest frames carry, "" before the first
	Suspect   bool         `json:"suspect"` // many channels leapt at once and nothing has moved singly since
	ModeKnown bool         `json:"asked"`   // a mode has settled, and the channels have values; Mode says which
	Mode      string       `json:"mode"`    // asked for, "" for none of the sheet's
	LastNS    unit.Time    `json:"last_ns"` // wire time of the latest frame, -1 before the first
	FrameTally
	LinkTally
	PeriodNS unit.Duration `json:"period_ns"`
	ClumpNS  unit.Duration `json:"clump_ns"` // how late the port hands over, at most, lately

	Channels []Channel `json:"channels"` // of the latest frame that was not damaged; empty unless Live
	Periods  Histogram `json:"periods"`  // from frame to frame, by wire time

	Ranges []ChannelRange `json:"ranges,omitempty"` // of a bus under a sheet without channels: how far each channel went; of the whole session

	LineFault *event.LineFaultData `json:"line_fault,omitempty"` // why nothing can be read, left out where something can, or nobody knows

	Board *Board `json:"board,omitempty"` // of a tap on servo leads
	Phone *Phone `json:"phone,omitempty"` // of a tap on a phone
}

// Phone is a phone on the model.
type Phone struct {
	PhoneTally
	Heard     bool          `json:"live"`      // attitudes come; what follows is old if not
	Asleep    bool          `json:"asleep"`    // its page said that it is hidden, or that its screen goes dark
	Gyroscope bool          `json:"gyroscope"` // it has one
	Laid      bool          `json:"laid"`      // how it lies was shown, and it has not moved on the model since
	Resting   bool          `json:"resting"`   // the model lies, or is held, still
	OffCdeg   int64         `json:"off_cdeg"`  // how far it is tilted from where it rested last, hundredths of a degree
	JitterNS  unit.Duration `json:"jitter_ns"` // by how much more than the quickest its sentences were late: no time of it is known finer
	Troubles  []string      `json:"troubles"`  // that stand: why nothing follows from what it says
}

// Board is a capture board on servo leads, and what it hears there.
type Board struct {
	Name   string        `json:"name"`    // as it calls itself, "" before it did
	TickNS unit.Duration `json:"tick_ns"` // of its clock, 0 before it was reported
	BoardTally
	Outputs []Output `json:"outputs"` // heard so far, by number
}

// Output is one servo lead.
type Output struct {
	Number   int           `json:"number"`    // from 1
	Surface  string        `json:"surface"`   // in the sheet, "" where it has none
	Pulses   int64         `json:"pulses"`    // heard
	Pulsing  bool          `json:"live"`      // pulses come; what follows is old if not
	WidthNS  unit.Width    `json:"width_ns"`  // of the latest
	PeriodNS unit.Duration `json:"period_ns"` // before the latest; 0: not known
	LastNS   unit.Time     `json:"last_ns"`   // bench time of the latest's end
}

// Refused counts bytes that are part of no frame.
type Refused struct {
	Reason string `json:"reason"`
	Bytes  int64  `json:"bytes"`
}

// Channel is what a frame says of one channel.
type Channel struct {
	Number  int        `json:"number"`   // from 1; the digital ones come last
	Name    string     `json:"name"`     // in the sheet, "" where it has none
	Count   uint32     `json:"count"`    // as the bus has it; 0 or 1 for the digital ones
	WidthNS unit.Width `json:"width_ns"` // by the sheet's scale; 0 for a digital one without places
	Place   string     `json:"place"`    // of the sheet that it is at, "" for none
}

// ChannelRange is what a channel was seen to do so far, by cleaned frames of a live
// transmitter, in a session under a sheet without channels.
type ChannelRange struct {
	Channel int        `json:"channel"`  // its number, from 1
	Digital bool       `json:"digital"`  // it is off or on, and has no width
	Moving  bool       `json:"moving"`   // it left where it rested and has not come to rest
	Moves   int64      `json:"moves"`    // how often it moved
	LeastNS unit.Width `json:"least_ns"` // 0 for a digital one
	MostNS  unit.Width `json:"most_ns"`
}

// Claim is one claim as judged so far.
type Claim struct {
	ID       string           `json:"claim"`
	Verdict  string           `json:"verdict"`
	Sentence string           `json:"sentence"`
	Evidence []event.Span     `json:"evidence"`
	Figures  map[string]int64 `json:"figures"`
	Settle   string           `json:"settle"` // how it comes to be seen
	Drill    string           `json:"drill"`  // the drill that settles it, "" where the wire alone does
}

// Recorder is how recording and disk do.
type Recorder struct {
	Folder    string `json:"folder"`
	Recording bool   `json:"recording"`  // false: inputs are lost to the recording
	Stalled   bool   `json:"stalled"`    // the disk has not answered for two seconds
	Inputs    int64  `json:"inputs"`     // recorded, since the session began
	Waiting   int    `json:"waiting"`    // events that wait to be written
	Trouble   string `json:"trouble"`    // the latest, "" if there was none or it is over
	FreeBytes int64  `json:"free_bytes"` // on the disk, -1 where that is not known
}

// PeriodBounds are the upper bounds, inclusive, of the histogram of periods, ns. They
// stand close where buses have their pace (7, 9, 11, 14 and 20 ms are common
// practice) and reach to what is a silence.
var PeriodBounds = [...]unit.Duration{
	3 * ms, 5 * ms, 6 * ms, 6_500_000, 7_500_000, 8 * ms, 9_500_000, 10 * ms, 11_500_000, 13 * ms,
	14_500_000, 16 * ms, 18 * ms, 21 * ms, 25 * ms, 50 * ms, 100 * ms, 200 * ms, 500 * ms, 1000 * ms,
}

const ms = unit.Millisecond

// Histogram counts intervals.
type Histogram struct {
	Counts [len(PeriodBounds) + 1]int64 `json:"counts"` // of each bucket alone; the last is beyond all bounds
	SumNS  int64                        `json:"sum_ns"`
}

// Add counts one interval.
func (h *Histogram) Add(d unit.Duration) {
	i := 0
	for i < len(PeriodBounds) && d > PeriodBounds[i] {
		i++
	}
	h.Counts[i]++
	h.SumNS += int64(d)
}

// RefusalReasons are the words for refused bytes of a tap, also those that were never needed. Of a
// bus they are those that its protocol has, which Refused lists.
func (t *Tap) RefusalReasons() (words []string) {
	if t.Kind == "pulses" {
		for r := range pulse.Reason(pulse.Reasons) {
			words = append(words, r.String())
		}
		return words
	}
	for _, r := range t.Refused { // a bus's, or a phone's
		words = append(words, r.Reason)
	}
	return words
}
