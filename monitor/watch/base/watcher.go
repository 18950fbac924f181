// Package base holds what all watchers share: the interface Watcher, the View, cleaned
// frames, and the events that belong to no tap's signal.
package base

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/mix"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/state"
	"benchproof.example/monitor/unit"
)

// Watcher is one state machine.
type Watcher interface {
	// See takes an observation, in order; it is lent for the call.
	See(o *event.Observation, v *View, emit event.Emit)
}

// Timed is a watcher that asks for deadlines.
type Timed interface {
	Watcher
	// Due is the next deadline, or unit.Never.
	Due() unit.Time
	// Expire is called once Due is past, with that date.
	Expire(at unit.Time, v *View, emit event.Emit)
}

// Listed is a watcher at its place in the list.
type Listed struct {
	Watcher
	// Alone is the one tap whose bytes it looks at, frames and what was refused; of other
	// taps it sees their inputs that carry no bytes. 0: it sees everything of all taps;
	// NoTap: it looks at no bytes.
	Alone uint8
}

// NoTap is the number of no tap.
const NoTap = 255

// Made takes note that a gesture of the sheet was made.
func (t *Tap) Made(gesture string, at unit.Time) {
	if t.Gestures == nil {
		t.Gestures = map[string]unit.Time{}
	}
	t.Gestures[gesture] = at
}

// View is what watchers share: the sheet, and what those before in the list have
// found out about a tap.
type View struct {
	Sheet *sheet.Sheet `json:"-"`
	Wall  int64        `json:"wall"`  // Unix ns at bench time 0, by the latest anchor
	Taps  []Tap        `json:"taps"`  // by event.Input.Tap; 0 is the bench itself
	Drill string       `json:"drill"` // name of the drill under way, "" for none

	Prompt   string    `json:"prompt"`    // ID of the prompt that stands, "" for none
	PromptAt unit.Time `json:"prompt_at"` // its date

	Papers  []event.Paper `json:"papers,omitempty"`  // of the model, as they stand
	Reopens string        `json:"reopens,omitempty"` // what the latest entry of them has seen anew, "" for nothing

	ModeChannels []int         `json:"-"`
	Protocol     *bus.Protocol `json:"-"` // of the bus taps
	Quantum      uint32        `json:"-"` // how many counts are a quantum
	FrameTime    unit.Duration `json:"-"` // how long a frame takes on the wire
	clean        []*Cleaned    // by tap, nil for none
	drills       *drill.Index
	firstBus     uint8
}

// quantum is the step in which watchers count how far a channel goes, in ns of pulse
// width: one count of the servo bus. Their limits are whole numbers of it, whatever the
// protocol counts in.
const quantum = 625

// NewView is the view of a sheet before anything is heard.
func NewView(s *sheet.Sheet, taps []event.TapName) View {
	v := View{
		Sheet: s, Taps: []Tap{{Name: "bench"}}, ModeChannels: s.ModeChannels(), clean: make([]*Cleaned, len(taps)+1),
		Protocol: s.Protocol, Quantum: s.Protocol.CountsOf(quantum),
		FrameTime: unit.Duration(s.Protocol.FrameTime()), drills: drill.NewIndex(s),
	}
	for i, t := range taps {
		tap := Tap{Name: t.Name, Kind: t.Kind}
		if t.Kind == "tilt" {
			tap.Phone = newPhone(s, t.Name)
		}
		v.Taps = append(v.Taps, tap)
		if t.Kind == "bus" && v.firstBus == 0 {
			v.firstBus = uint8(i + 1)
		}
	}
	return v
}

// GoOnCounting takes over what is no judgement where judgement begins afresh: the wall
// clock, the model's papers, and what was counted of the taps that are the same, how far channels went with it.
func (v *View) GoOnCounting(was *View) {
	v.Wall, v.Papers = was.Wall, was.Papers
	for i := range min(len(v.Taps), len(was.Taps)) {
		if v.Taps[i].Kind == was.Taps[i].Kind {
			v.Taps[i].Tally, v.Taps[i].Ranges = was.Taps[i].Tally, was.Taps[i].Ranges
		}
	}
}

// Plan is the drill under way, one without a name for none.
func (v *View) Plan() *drill.Plan { return v.drills.Plan(v.Drill) }

// Anew is what an input says is to be seen anew, "" for nothing: somebody says so, or an entry
// of the papers changed on which it rests.
func (v *View) Anew(o *event.Observation) string {
	switch o.Kind {
	case event.InputReopen:
		return string(o.Data)
	case event.InputPapers:
		return v.Reopens
	}
	return ""
}

// Act is what the prompt that stands asks for, "" for none.
func (v *View) Act() drill.Act { return v.Ask().Act }

// Ask is the same with all else that it asks for.
func (v *View) Ask() drill.Ask {
	_, ask := v.drills.Asked(v.Prompt)
	return ask
}

// Tap is what is known of one tap.
type Tap struct {
	Name          string                    `json:"name"`
	Kind          string                    `json:"kind"`
	Signal        event.Signal              `json:"signal"`   // whose values the latest frames carry; "" before the first
	Suspect       bool                      `json:"suspect"`  // many channels leapt at once and nothing has moved singly since
	Locked        bool                      `json:"locked"`   // frames come
	Linked        bool                      `json:"linked"`   // four plain frames in a row came since the last loss
	Exposure      event.LinkFigures         `json:"air"`      // what the link heard since bus.watched was last reported
	Tally         state.LinkTally           `json:"tally"`    // what the watchers counted since the session began; nobody judges by it
	ModeKnown     bool                      `json:"asked"`    // a mode has settled since it was locked
	Mode          string                    `json:"mode"`     // that mode; "": none of the sheet's
	Failsafe      bool                      `json:"failsafe"` // the failsafe flag stands
	UnflaggedHold UnflaggedHold             `json:"held"`     // values that stood still although something is known to move, once that is over
	Back          unit.Time                 `json:"back"`     // wire time since which values are live again after such, 0: there was none
	Leapt         bool                      `json:"leapt"`    // many channels leapt, and nothing has explained it yet
	Froze         bool                      `json:"froze"`    // sticks froze in motion and leapt, and it is not over
	Stopped       bool                      `json:"stopped"`  // the heartbeat stands, and it is not over
	Loss          string                    `json:"loss"`     // how far a loss of the signal is, see event.PhaseLost; "": there is none
	LossAt        unit.Time                 `json:"loss_at"`  // wire time of the last frame known live before it; 0: there is none
	Pressed       bool                      `json:"pressed"`  // the mark button was, with the latest frame
	Fits          event.ByOutput[OutputFit] `json:"found"`    // of servo leads: what each output was found to follow

	Gestures map[string]unit.Time `json:"gestures,omitempty"` // of the sheet, by name: the date when each was last made

	Ranges []state.ChannelRange `json:"ranges,omitempty"` // under a sheet without channels: how far each went, by number; nobody judges by it

	Phone *Phone `json:"phone,omitempty"` // of a tap on tilt: how it lies

	LineFault *event.LineFaultData `json:"line_fault,omitempty"` // why nothing can be read, nil where something can, or nobody knows
}

// About is how events name a tap.
func (t *Tap) About() string { return event.AboutTap.Called(t.Name) }

// Cleaned are the cleaned frames of a tap.
func (v *View) Cleaned(tap uint8) *Cleaned { return v.clean[tap] }

// Rests reports whether a channel, from 0, stops at a count by itself, at a place of
// the sheet or at its neutral, or is no stick: then how it stops says nothing.
func (v *View) Rests(ch int, count uint32) bool {
	c, ok := v.Sheet.Channel(ch + 1)
	stick := ok && (c.Kind == sheet.Stick || c.Kind == sheet.Throttle)
	return !stick || c.RestsNear(v.Sheet.Width(count), v.Sheet.Tolerance.Position)
}

// FirstBus is the bus that belongs to the leads, 0 where there is none.
func (v *View) FirstBus() uint8 { return v.firstBus }

// HasPlaces reports whether a channel of this kind stands at places.
func HasPlaces(kind string) bool {
	return kind == sheet.Switch || kind == sheet.Momentary || kind == sheet.Fixed
}

// Judgeable reports whether o is a frame of the tap that may be judged: damaged
// frames never are, nor those that were read late, which have no dates of their own.
func Judgeable(o *event.Observation, tap uint8) bool {
	return o.Tap == tap && o.Kind == event.FrameSeen && !o.Frame.Bad && !o.Pace.Late
}

// ReadLate reports whether o is a frame of the tap that was read late: what the bus carried
// between those before and behind it is not known.
func ReadLate(o *event.Observation, tap uint8) bool {
	return o.Pace.Late && o.Tap == tap && o.Kind == event.FrameSeen
}

// MaxFrameStep is a silence between two frames over which nothing is taken to have
// stood, or to have changed from one frame to the next.
const MaxFrameStep = 100 * unit.Millisecond

// TapClosed reports that the tap is no longer heard: what is under way ends here.
func TapClosed(o *event.Observation, tap uint8) bool {
	switch o.Kind {
	case event.InputTapDown:
		return o.Tap == tap
	case event.InputEnd, event.InputResume, event.InputRecordingGap:
		return true
	}
	return false
}

// SignalOf reports whose values a frame carries, by its flags.
func SignalOf(f *bus.Frame) event.Signal {
	switch {
	case f.Failsafe():
		return event.SignalFailsafe
	case f.Lost():
		return event.SignalMissed
	}
	return event.SignalLive
}

// Width is the pulse width that a frame gives to a channel, ns. Channels count
// from 1; the digital ones have no count: off is the narrower of the two places that
// the sheet gives them.
func Width(s *sheet.Sheet, f *bus.Frame, channel int) unit.Width {
	if !s.Digital(channel) {
		return s.Width(f.Counts[channel-1])
	}
	c, ok := s.Channel(channel)
	if !ok || len(c.Places) != 2 {
		return 0
	}
	off, on := c.Places[0].Width, c.Places[1].Width
	if off > on {
		off, on = on, off
	}
	if f.Digital(channel - s.Protocol.Channels - 1) {
		return on
	}
	return off
}

// UnflaggedHold is a stretch in which the receiver sent values of its own and no flag said so.
type UnflaggedHold struct {
	From    unit.Time  `json:"from"` // wire time of the last live frame, 0: none
	To      unit.Time  `json:"to"`   // of the last frame of it
	Back    unit.Time  `json:"back"` // of the first live frame behind it, -1: not seen
	Because string     `json:"because"`
	Was     bus.Counts `json:"was"` // values in the last live frame
	Now     bus.Counts `json:"now"` // and in the last frame of it
}

// OutputFit is what an output was found to follow in a mode.
type OutputFit struct {
	Output int     `json:"output"`
	Mode   string  `json:"mode"`
	Fit    mix.Fit `json:"fit"`
}

// SetFit puts what was found into the view.
func (t *Tap) SetFit(n OutputFit) {
	if was := t.Fits.Of(n.Output); was != nil {
		*was = n
		return
	}
	t.Fits.Add(n.Output, n)
}

// FitOf is what was found of an output last, nil for nothing.
func (t *Tap) FitOf(output int) *OutputFit { return t.Fits.Of(output) }

// Doubtful reports that what a tap's frames carry is not known to be the transmitter's.
func (t *Tap) Doubtful() bool {
	return !t.Linked || t.Signal == event.SignalFailsafe || t.Suspect || t.Stopped || t.Loss != ""
}
