package runner

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/median"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/unit"
)

// How the wire answers by itself.
const (
	nearStill unit.Width = 30_000                 // ns: how far a hand pushes the other sticks along
	onTheMove unit.Width = 17_000                 // ns within restWindow: a stick is stirred,
	turning              = 500 * unit.Millisecond // and so long after, since it stands at its stops where it turns
	steady    unit.Width = 6_000                  // ns: further than this off, a channel has not stood
	standing             = 600 * unit.Millisecond // how long it must stand
)

const (
	hole       = 100 * unit.Millisecond // without a live frame for this long, what stood before does not stand any more
	restWindow = 30 * unit.Millisecond  // how far back the speed of an arrival is measured
)

// Widths are those of all channels, ns: channel n at n-1.
type Widths = bus.PerNumber[unit.Width]

// Sample is the widths of a moment.
type Sample struct {
	Wire   unit.Time `json:"wire"`
	Widths Widths    `json:"widths"`
}

// Track follows all channels from a prompt to its answer. It takes frames that a
// live transmitter is behind; those flagged as missed repeat what was, and count
// as if they had not come. A width is the middle one of seven frames in a row: what
// three frames or fewer have is not there, and each frame is taken three frames late.
//
//	frames   988  988  988 [2012 2012] 988  988  988  1500  2012
//	taken                   988  988   988  988
type Track struct {
	Window []Sample `json:"window"` // the latest frames, at most seven
	Recent []Sample `json:"recent"` // taken, as far back as an arrival is measured

	Frames  int64                  `json:"frames"` // taken since the prompt
	Signal  event.Signal           `json:"signal"` // the worst since the prompt
	Suspect bool                   `json:"suspect"`
	From    Widths                 `json:"from"` // at the prompt; of what is not asked for: as what is began to move
	Least   bus.PerNumber[Extreme] `json:"least"`
	Most    bus.PerNumber[Extreme] `json:"most"`
	Others  Widths                 `json:"others"` // when what is awaited began to move, at the prompt till then
	Left    bool                   `json:"left"`   // it did
	Stands  bool                   `json:"stands"` // what is awaited is so,
	Stood   Sample                 `json:"stood"`  // since then

	Moved   []unit.Time   `json:"moved"`   // wire time when each stick other than the throttle was last on the move, where that counts; 0: never
	Stirred unit.Duration `json:"stirred"` // how long all of them were stirred at once
}

// begin forgets what was, but not the latest frames: they show where channels
// stood at the prompt.
func (t *Track) begin() { *t = Track{Window: t.Window} }

// frame takes a judged frame. It reports whether there is a new sample.
func (t *Track) frame(o *event.Observation, h *BusState) bool {
	if h.Signal == event.SignalFailsafe {
		t.worse(event.SignalFailsafe)
	}
	t.Suspect = t.Suspect || h.Suspect
	n := len(t.Window)
	late := n == 0 || o.Wire.Sub(t.Window[n-1].Wire) > hole
	if o.Frame.Failsafe() || o.Frame.Lost() {
		if late {
			t.worse(event.SignalMissed)
		}
		return false
	}
	if late {
		t.interrupted()
	}
	t.push(o, h)
	if len(t.Window) < median.Window {
		return false
	}
	t.take(h.Channels)
	return true
}

// worse keeps the worst signal.
func (t *Track) worse(s event.Signal) {
	rank := func(s event.Signal) int {
		switch s {
		case event.SignalFailsafe:
			return 3
		case event.SignalMissed:
			return 2
		case event.SignalLive:
			return 1
		}
		return 0
	}
	if rank(s) > rank(t.Signal) {
		t.Signal = s
	}
}

// interrupted ends what stood: nobody knows what was in the hole.
func (t *Track) interrupted() {
	t.Window, t.Recent, t.Stands = t.Window[:0], t.Recent[:0], false
	for i := range t.Most {
		t.Least[i].Open, t.Most[i].Open = false, false
	}
}

func (t *Track) push(o *event.Observation, h *BusState) {
	s := Sample{Wire: o.Wire}
	for i := range h.Channels {
		s.Widths[i] = h.Width(o.Frame, i+1)
	}
	if len(t.Window) == median.Window {
		t.Window = t.Window[:copy(t.Window, t.Window[1:])]
	}
	t.Window = append(t.Window, s)
}

// take makes a sample of the frame in the middle of the latest, of so many channels.
func (t *Track) take(channels int) {
	s := t.Window[median.Behind]
	for i := range channels {
		s.Widths[i] = t.middle(i)
	}
	t.worse(event.SignalLive)
	old := 0
	for old < len(t.Recent) && s.Wire.Sub(t.Recent[old].Wire) > restWindow {
		old++
	}
	t.Recent = append(t.Recent[:0], t.Recent[old:]...)
	t.Recent = append(t.Recent, s)
	if t.Frames++; t.Frames == 1 {
		t.From, t.Others = s.Widths, s.Widths
		for i, w := range s.Widths[:channels] {
			t.Least[i], t.Most[i] = Extreme{Width: w, Since: s.Wire, Open: true}, Extreme{Width: w, Since: s.Wire, Open: true}
		}
		return
	}
	for i, w := range s.Widths[:channels] {
		fast := unit.Abs(w - t.Recent[0].Widths[i])
		t.Least[i].see(w, s.Wire, fast, w < t.Least[i].Width)
		t.Most[i].see(w, s.Wire, fast, w > t.Most[i].Width)
	}
}

// stirs adds the time since the sample before if all of the channels are stirred: what draws
// much is servos that work at once.
//
//	stick     /\/\__/\____________/\/
//	stirred   =========|    |======== half a second past each movement
func (t *Track) stirs(channels []int) {
	n := len(t.Recent)
	if n < 2 {
		return
	}
	if t.Moved == nil {
		t.Moved = make([]unit.Time, len(channels))
	}
	now, all := t.Recent[n-1].Wire, true
	for i, c := range channels {
		if unit.Abs(t.Recent[n-1].Widths[c-1]-t.Recent[0].Widths[c-1]) >= onTheMove {
			t.Moved[i] = now
		}
		all = all && t.Moved[i] != 0 && now.Sub(t.Moved[i]) <= turning
	}
	if all {
		t.Stirred += now.Sub(t.Recent[n-2].Wire)
	}
}

// middle is the middle one of the widths of a channel in the window.
func (t *Track) middle(channel int) unit.Width {
	var widths [median.Window]unit.Width
	same := true
	for i := range t.Window {
		widths[i] = t.Window[i].Widths[channel]
		same = same && widths[i] == widths[0]
	}
	if same {
		return widths[0]
	}
	return median.Of(widths[:])
}

// satisfies reports whether what a prompt awaits has stood long enough. A
// receiver's presets, flagged or suspected, answer nothing.
func (t *Track) satisfies(a *drill.Condition, h *BusState) bool {
	s := &t.Recent[len(t.Recent)-1]
	t.leaves(a, s, h.Channels)
	if len(a.Targets)+len(a.AwayFrom) == 0 || h.Signal != event.SignalLive || h.Suspect || !t.near(a, s) {
		t.Stands = false
		return false
	}
	if !t.Stands || !t.steady(a, s) {
		t.Stands, t.Stood = true, *s
	}
	return s.Wire.Sub(t.Stood.Wire) >= max(a.Stand, standing)
}

// leaves keeps where the others stand until a target moves: a stick that was let go
// at the prompt may still be on its way home.
func (t *Track) leaves(a *drill.Condition, s *Sample, channels int) {
	if t.Left {
		return
	}
	for _, g := range a.Targets {
		t.Left = t.Left || unit.Abs(s.Widths[g.Channel-1]-t.From[g.Channel-1]) > nearStill
	}
	if !t.Left {
		t.Others = s.Widths
	} else if a.Away {
		t.company(a, s, channels)
	}
}

// company begins anew with the channels that are not asked for, as one that is begins
// to move: what they did before was another hand's, or a wrong control, and what a mix
// takes along moves from here on.
func (t *Track) company(a *drill.Condition, s *Sample, channels int) {
	for i, w := range t.Others[:channels] {
		if targets(a, i+1) {
			continue
		}
		t.From[i] = w
		for _, x := range []*Extreme{&t.Least[i], &t.Most[i]} {
			*x = Extreme{Width: w, Since: s.Wire, Open: true}
		}
		t.Least[i].see(s.Widths[i], s.Wire, unit.Abs(s.Widths[i]-w), s.Widths[i] < w)
		t.Most[i].see(s.Widths[i], s.Wire, unit.Abs(s.Widths[i]-w), s.Widths[i] > w)
	}
}

func (t *Track) near(a *drill.Condition, s *Sample) bool {
	for _, g := range a.Targets {
		i := g.Channel - 1
		left := max(t.Most[i].Width-g.Width, g.Width-t.Least[i].Width) > g.Within
		if unit.Abs(s.Widths[i]-g.Width) > g.Within || a.Away && !left {
			return false
		}
	}
	for _, c := range a.AwayFrom {
		if w := s.Widths[c.Channel-1]; c.Preset.Met(w, w, sheet.VisibleChange) {
			return false
		}
	}
	for _, c := range a.Still {
		if unit.Abs(s.Widths[c-1]-t.Others[c-1]) > nearStill {
			return false
		}
	}
	return true
}

func (t *Track) steady(a *drill.Condition, s *Sample) bool {
	for _, g := range a.Targets {
		if unit.Abs(s.Widths[g.Channel-1]-t.Stood.Widths[g.Channel-1]) > steady {
			return false
		}
	}
	for _, c := range a.AwayFrom {
		if unit.Abs(s.Widths[c.Channel-1]-t.Stood.Widths[c.Channel-1]) > steady {
			return false
		}
	}
	return true
}

// moves reports what the given channels did; all are 0 where nothing was heard.
func (t *Track) moves(channels []int) []event.ChannelMove {
	list := make([]event.ChannelMove, 0, len(channels))
	for _, c := range channels {
		i := c - 1
		m := event.ChannelMove{Channel: c, FromNS: t.From[i], LeastNS: t.Least[i].Width, MostNS: t.Most[i].Width}
		went := &t.Most[i]
		if m.FromNS-m.LeastNS > m.MostNS-m.FromNS {
			went = &t.Least[i]
		}
		m.FlatNS, m.FastNS = went.Flat, went.Fast
		if n := len(t.Recent); n > 0 {
			m.ToNS = t.Recent[n-1].Widths[i]
		}
		list = append(list, m)
	}
	return list
}

// sticksOf are the channels of a sheet's sticks, without the throttle.
func sticksOf(s *sheet.Sheet) (list []int) {
	for i := range s.Channels {
		if s.Channels[i].Kind == sheet.Stick {
			list = append(list, s.Channels[i].Number)
		}
	}
	return list
}

// channelsOf are the proportional ones of the bus, and the digital ones that a sheet has.
func channelsOf(s *sheet.Sheet) (list []int) {
	for c := 1; c <= s.Protocol.LastChannel(); c++ {
		if _, ok := s.Channel(c); ok || !s.Digital(c) {
			list = append(list, c)
		}
	}
	return list
}
