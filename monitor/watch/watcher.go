// Package watch holds the watchers: small state machines that turn what a tap
// yields into dated events. One file each, one line each in For.
//
// A watcher keeps plain exported fields and no closures or timers, so that a
// checkpoint is its JSON. Its only clock is the date of what it sees and the
// deadlines it asks for. It compares counts and nanoseconds, never floats.
package watch

import (
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

// Watcher is one state machine.
type Watcher interface {
	// See takes an observation, in order; it is lent for the call.
	See(o *fact.Observation, v *View, emit fact.Emit)
	// Due is the next deadline, or fact.Never.
	Due() fact.Time
	// Expire is called once Due is past, with that date.
	Expire(at fact.Time, v *View, emit fact.Emit)
}

// View is what watchers share: the sheet, and what those before in the list have
// found out about a tap.
type View struct {
	Sheet *sheet.Sheet `json:"-"`
	Wall  int64        `json:"wall"`  // Unix ns at bench time 0, by the latest anchor
	Taps  []Tap        `json:"taps"`  // by fact.Input.Tap; 0 is the bench itself
	Drill string       `json:"drill"` // name of the drill under way, "" for none

	Prompt   string    `json:"prompt"`    // ID of the prompt that stands, "" for none
	PromptAt fact.Time `json:"prompt_at"` // its date

	modeChannels []int
	clean        []*Cleaned // by tap, nil for none
}

// NewView is the view of a sheet before anything is heard.
func NewView(s *sheet.Sheet, taps []fact.TapName) View {
	v := View{Sheet: s, Taps: []Tap{{Name: "bench"}}, modeChannels: s.ModeChannels(), clean: make([]*Cleaned, len(taps)+1)}
	for _, t := range taps {
		v.Taps = append(v.Taps, Tap{Name: t.Name, Kind: t.Kind})
	}
	return v
}

// Tap is what is known of one tap.
type Tap struct {
	Name     string      `json:"name"`
	Kind     string      `json:"kind"`
	Signal   fact.Signal `json:"signal"`   // whose values the latest frames carry; "" before the first
	Suspect  bool        `json:"suspect"`  // many channels leapt at once and nothing has moved singly since
	Locked   bool        `json:"locked"`   // frames come
	Linked   bool        `json:"linked"`   // four plain frames in a row came since the last loss
	Air      fact.Air    `json:"air"`      // what the link heard since bus.watched was last told
	Asked    bool        `json:"asked"`    // a mode has settled since it was locked
	Mode     string      `json:"mode"`     // that mode; "": none of the sheet's
	Failsafe bool        `json:"failsafe"` // the failsafe flag stands
	Held     Held        `json:"held"`     // values that stood still although something is known to move, once that is over
	Back     fact.Time   `json:"back"`     // wire time since which values are live again after such, 0: there was none
	Leapt    bool        `json:"leapt"`    // many channels leapt, and nothing has explained it yet
	Froze    bool        `json:"froze"`    // sticks froze in motion and leapt, and it is not over
	Stopped  bool        `json:"stopped"`  // the heartbeat stands, and it is not over
	Loss     string      `json:"loss"`     // how far a loss of the signal is, see fact.LossBegan; "": there is none
	LossAt   fact.Time   `json:"loss_at"`  // wire time of the last frame known live before it; 0: there is none
	Found    []Found     `json:"found"`    // of servo leads: what each output was found to follow, ascending
}

// About is how events name a tap.
func (t *Tap) About() string { return "tap:" + t.Name }

// For lists the watchers of a sheet over the taps of a view, in the order in
// which they see: those that inform the view come before those that read it.
func For(v *View) []Watcher {
	list := []Watcher{&Ledger{}}
	for i := 1; i < len(v.Taps); i++ {
		if v.Taps[i].Kind == "bus" {
			list = append(list, forBus(v, uint8(i))...)
		}
	}
	for i := 1; i < len(v.Taps); i++ {
		if v.Taps[i].Kind == "pulses" {
			list = append(list, forLeads(uint8(i))...)
		}
	}
	return list
}

// forLeads are those of a tap on servo leads. What they know of the bus, the
// watchers of the bus have found out before.
func forLeads(tap uint8) []Watcher {
	return []Watcher{
		&Board{Tap: tap},
		&OutputSilence{Tap: tap},
		&OutputWidth{Tap: tap},
		&OutputJitter{Tap: tap},
		&OutputUnsteady{Tap: tap},
		&Follows{Tap: tap},
		&OutClip{Tap: tap},
		&OutputLoss{Tap: tap},
	}
}

// cleaned are the cleaned frames of a tap.
func (v *View) cleaned(tap uint8) *Cleaned { return v.clean[tap] }

// rests reports whether a channel, from 0, stops at a count by itself, at a place of
// the sheet or at its neutral, or is no stick: then how it stops says nothing.
func (v *View) rests(ch int, count uint16) bool {
	c, ok := v.Sheet.Channel(ch + 1)
	stick := ok && (c.Kind == sheet.Stick || c.Kind == sheet.Throttle)
	return !stick || c.RestsNear(v.Sheet.Scale.Width(int64(count)), v.Sheet.Tolerance.Position)
}

// firstBus is the bus that belongs to the leads, 0 where there is none.
func (v *View) firstBus() uint8 {
	for i := 1; i < len(v.Taps); i++ {
		if v.Taps[i].Kind == "bus" {
			return uint8(i)
		}
	}
	return 0
}

func forBus(v *View, tap uint8) []Watcher {
	list := []Watcher{
		&Silence{Tap: tap},
		&Late{Tap: tap},
		&Period{Tap: tap},
		&Damage{Tap: tap},
		&Gap{Tap: tap},
		&Missed{Tap: tap},
		&Failsafe{Tap: tap},
		&Link{Tap: tap},
		NewCleaned(v, tap),
		&Jump{Tap: tap},
		&Stillness{Tap: tap},
		&Loss{Tap: tap},
		&PowerUp{Tap: tap},
		&Watched{Tap: tap},
		&Flat{Tap: tap},
		&Rail{Tap: tap},
		&Spike{Tap: tap},
	}
	if sweeps(v.Sheet) {
		list = append(list, &Sweep{Tap: tap})
	}
	for i := range v.Sheet.Gestures {
		list = append(list, &Gesture{Tap: tap, Index: i})
	}
	for i := range v.Sheet.Channels {
		if c := &v.Sheet.Channels[i]; placed(c.Kind) {
			list = append(list, &Position{Tap: tap, Channel: c.Number})
		}
	}
	if v.Sheet.MarkButton != nil {
		list = append(list, &Button{Tap: tap})
	}
	if len(v.modeChannels) > 0 {
		list = append(list, &Mode{Tap: tap})
	}
	return list
}

// placed reports whether a channel of this kind stands at places.
func placed(kind string) bool {
	return kind == sheet.Switch || kind == sheet.Momentary || kind == sheet.Fixed
}

// judged reports whether o is a frame of the tap that may be judged: damaged
// frames never are, nor those that were read late, which have no dates of their own.
func judged(o *fact.Observation, tap uint8) bool {
	return o.Tap == tap && o.Kind == fact.FrameSeen && !o.Frame.Bad && !o.Pace.Late
}

// apart is a silence between two frames over which nothing is taken to have
// stood, or to have changed from one frame to the next.
const apart = 100 * fact.Millisecond

// over reports that the tap is no longer heard: what is under way ends here.
func over(o *fact.Observation, tap uint8) bool {
	switch o.Kind {
	case fact.TapDown:
		return o.Tap == tap
	case fact.End, fact.Resume, fact.RecordingGap:
		return true
	}
	return false
}

// signalOf tells whose values a frame carries, by its flags.
func signalOf(f *servobus.Frame) fact.Signal {
	switch {
	case f.Failsafe():
		return fact.Failsafe
	case f.FrameLost():
		return fact.Missed
	}
	return fact.Live
}

// Width is the pulse width that a frame gives to a channel, ns. Channels count
// from 1; 17 and 18 are the digital ones, which have no count: off is the
// narrower of the two places that the sheet gives them.
func Width(s *sheet.Sheet, f *servobus.Frame, channel int) int64 {
	if channel <= servobus.Channels {
		return s.Scale.Width(int64(f.Counts[channel-1]))
	}
	c, ok := s.Channel(channel)
	if !ok || len(c.Places) != 2 {
		return 0
	}
	off, on := c.Places[0].Width, c.Places[1].Width
	if off > on {
		off, on = on, off
	}
	if channel == servobus.Channels+1 && f.Ch17() || channel == servobus.Channels+2 && f.Ch18() {
		return on
	}
	return off
}

func abs(a int64) int64 {
	if a < 0 {
		return -a
	}
	return a
}
