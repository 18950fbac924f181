package account

import (
	"slices"

	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	// rested is how long an output stands until it is known where it rests.
	rested = unit.Second
	// leapsAtOnce is how far apart in time outputs leave where they rested where one thing has
	// them leave: their pulses come every 20 ms (common practice).
	leapsAtOnce = 100 * unit.Millisecond
)

// outputs are those of a tap on servo leads. An output that was heard is silent until it is
// back: the watchers say so, by what the board goes on saying. A silence begins with the first
// output that falls silent, and is over when all that were heard are back.
//
//	output 1  | | | |         | | | |       | | | |
//	output 2  | | | |         | | | | | | | | | | |
//	board     | | | | | | | | | | | | | | | | | | |
//	                 ^ all in step   ^ one alone
type outputs struct {
	Board  bool  // lines of the capture board come
	Heard  []int // all that were heard, and have to come
	Now    []int // of these, those that are not known to be silent, since the port is open
	Silent []int // and those that are
	Fell   []int // in the silence under way
	First  unit.Time
	Latest unit.Time // onsets in it
	Over   unit.Time // the latest end of an output's silence in it, 0: none

	Onsets event.ByOutput[onset] // of the latest silence of each

	Stands event.ByOutput[stand]
	Left   unit.Time
	LeftN  int   // outputs that left where they rested at about that time
	Leaps  int64 // times that two or more did, or the only one
}

// stand is where an output stands.
type stand struct {
	Output int
	Width  unit.Width
	Since  unit.Time
}

// onset is when an output fell silent.
type onset struct {
	Output int
	At     unit.Time
}

// condition is that of a tap on leads whose port is open.
func (u *outputs) condition() condition {
	switch {
	case len(u.Silent) > 0:
		return outage
	case u.Board && len(u.Heard) > 0 && len(u.Now) == len(u.Heard):
		return live
	}
	return waiting
}

// unheard is where nobody can say which outputs go on.
func (u *outputs) unheard() {
	u.Now, u.Silent, u.Stands, u.Onsets = nil, nil, event.ByOutput[stand]{}, event.ByOutput[onset]{}
}

// anew begins the account anew: outputs that are silent were perhaps unplugged for good.
func (u *outputs) anew() outputs {
	return outputs{Board: u.Board, Heard: slices.Clone(u.Now), Now: slices.Clone(u.Now)}
}

// together reports that all outputs, two or more, fell silent in step in the silence under way.
func (u *outputs) together() bool {
	return len(u.Heard) > 1 && len(u.Fell) == len(u.Heard) && u.Latest.Sub(u.First) <= inStep
}

// with adds a number to a few, in order.
func with(few []int, n int) []int {
	if i, found := slices.BinarySearch(few, n); !found {
		return slices.Insert(few, i, n)
	}
	return few
}

func without(few []int, n int) []int {
	return slices.DeleteFunc(few, func(x int) bool { return x == n })
}

// leads is the tap on servo leads, nil where there is none.
func (a *Account) leads() *Tap {
	for i := 1; i < len(a.Taps); i++ {
		if !a.Taps[i].Bus {
			return &a.Taps[i]
		}
	}
	return nil
}

// alone reports that servo leads are all that is listened to: then they have an account of their own.
func (a *Account) alone() bool {
	return a.leads() != nil && !slices.ContainsFunc(a.Taps, func(t Tap) bool { return t.Bus })
}

// outputSilent takes an output that fell silent while the board went on.
func (a *Account) outputSilent(e *event.Event) {
	a.Dips.lead(e.From, a)
	t := a.leads()
	n, ok := event.AboutOutput.Number(e.About)
	if t == nil || !ok {
		return
	}
	u := &t.Outputs
	u.Now, u.Silent = without(u.Now, n), with(u.Silent, n)
	u.begins(n, e.From)
	if !t.Gone.Open {
		u.Fell, u.First, u.Latest, u.Over = nil, e.From, e.From, 0
		t.begin(e.From, silent, a)
	}
	u.Fell = with(u.Fell, n)
	u.First, u.Latest = min(u.First, e.From), max(u.Latest, e.From)
	if !a.aside() {
		t.Silences++
		t.Strip.at(a.Until.Sub(a.Since)).Silences++
	}
}

func (u *outputs) begins(n int, at unit.Time) {
	if o := u.Onsets.Of(n); o != nil {
		o.At = at
		return
	}
	u.Onsets.Add(n, onset{n, at})
}

// lasted is from when to when an output that is back was silent. How long that was the board's clock
// says: what was read late, in one lump, may all have the date of the reading.
//
//	board   | |          | |        silent for 0.42 s by its clock
//	dates                     ||||  all read here
//	          |<- 0.42 ->|  so much before the date is the earliest that it may have begun
func (u *outputs) lasted(n int, at unit.Time, silent unit.Duration) (from, to unit.Time) {
	o := u.Onsets.Of(n)
	if o == nil || silent == 0 {
		return at, at
	}
	to = min(o.At.Add(silent), at)
	return to.Add(-silent), to
}

// lengthen has a silence under way be as long as the board's clock says that one of its outputs was.
func (t *Tap) lengthen(n int, at unit.Time, silent unit.Duration) {
	from, to := t.Outputs.lasted(n, at, silent)
	if g := &t.Gone; g.Open && g.Left == 0 {
		if from < g.From && !g.Aside {
			t.takeBack(g.From.Sub(from))
		}
		g.From = min(g.From, from)
		t.Outputs.Over = max(t.Outputs.Over, to)
	}
}

// outputBack takes an output whose pulses come, for the first time or again.
func (a *Account) outputBack(e *event.Event, d *event.OutputBackData, v *base.View, emit event.Emit) {
	t := a.leads()
	n, ok := event.AboutOutput.Number(e.About)
	if t == nil || !ok {
		return
	}
	u := &t.Outputs
	u.Heard, u.Now, u.Silent = with(u.Heard, n), with(u.Now, n), without(u.Silent, n)
	t.lengthen(n, e.From, d.SilentNS)
	if !t.Gone.Open || len(u.Now) < len(u.Heard) {
		return
	}
	if u.together() {
		t.Gone.Cause = restart
	}
	a.pass(e.At, v)
	if u.Over != 0 {
		t.readLater(e.From.Sub(u.Over))
		a.over(a.tapOf(t), u.Over, v, emit)
		return
	}
	a.over(a.tapOf(t), e.From, v, emit)
}

// readLater gives back time of an outage in which pulses came that were read behind it.
func (t *Tap) readLater(d unit.Duration) {
	d = min(d, t.Times[outage])
	t.Times[outage] -= d
	t.Times[waiting] += d
}

// onBoard takes that lines of the board come, or do no more.
func (a *Account) onBoard(heard bool) {
	if t := a.leads(); t != nil {
		t.Outputs.Board = heard
	}
}

// boardLost takes trouble between board and computer.
func (a *Account) boardLost() {
	if t := a.leads(); t != nil && !a.aside() {
		t.Late++
	}
}

// stands follows where an output stands. Two outputs or more that leave where they rested at
// once are a hand, the stabiliser, or a receiver that goes to presets: pulses have no flag.
func (t *Tap) stands(o *event.Observation, aside bool) {
	u := &t.Outputs
	s := u.Stands.Of(o.Pulse.Output)
	if s == nil {
		u.Stands.Add(o.Pulse.Output, stand{o.Pulse.Output, o.Pulse.Width, o.Wire})
		return
	}
	if unit.Abs(o.Pulse.Width-s.Width) <= restRange {
		return
	}
	if o.Wire.Sub(s.Since) >= rested && !aside {
		u.left(o.Wire)
	}
	s.Width, s.Since = o.Pulse.Width, o.Wire
}

// left takes an output that left where it rested.
func (u *outputs) left(at unit.Time) {
	if at.Sub(u.Left) > leapsAtOnce {
		u.Left, u.LeftN = at, 0
	}
	if u.LeftN++; u.LeftN == min(2, len(u.Stands.List)) {
		u.Leaps++
	}
}
