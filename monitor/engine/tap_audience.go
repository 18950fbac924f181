package engine

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// tapAudience are the watchers of one tap, of which some may sleep while its frames are
// calm (see base.Sleeper). Who sleeps changes nothing in what they know or say: all are
// awake before anything but a calm frame is shown, and before anybody looks at them.
type tapAudience struct {
	tap      uint8
	wakeful  bool // nobody sleeps
	seats    []seat
	awake    []awakeSeat     // in order
	rested   bool            // none of those could sleep
	woken    bool            // a beat woke those that slept, and most of them will rest at once
	needs    base.ChannelSet // those of all that sleep
	until    unit.Time       // the first of theirs
	calm     base.Calm
	showing  int // index of the seat that is shown the latest calm frame: those before it have had it
	previous previousFrame
}

// seat is a watcher's place.
type seat struct {
	base.Watcher
	timed   base.Timed   // the same; nil: it asks for no deadlines
	sleeper base.Sleeper // the same; nil: it never sleeps
	feeds   bool         // others read what it has ready: it sleeps only while all Sleepers do
	asleep  bool
	since   int64           // how many calm frames there were when it was shown one last; only asleep
	needs   base.ChannelSet // as Rests gave it; only asleep
	until   unit.Time       // as Rests gave it; only asleep
}

// awakeSeat is the place of a watcher that is awake.
type awakeSeat struct {
	index  int  // of seats
	behind bool // somebody sleeps between it and the next of these, or anywhere, where it is the last
}

// previousFrame is the frame before.
type previousFrame struct {
	plain  bool // it was live and judged
	date   unit.Time
	wire   unit.Time
	counts bus.Counts
	flags  bus.Flags
}

func newTapAudience(list []base.Listed, tap uint8) tapAudience {
	t := tapAudience{tap: tap, calm: base.NewCalm()}
	for _, w := range list {
		if w.Alone != 0 && w.Alone != tap {
			continue
		}
		s := seat{Watcher: w.Watcher}
		s.timed, _ = w.Watcher.(base.Timed)
		if w.Alone != 0 { // else it looks at other taps too
			s.sleeper, _ = w.Watcher.(base.Sleeper)
		}
		_, s.feeds = w.Watcher.(*base.Cleaned)
		t.seats = append(t.seats, s)
	}
	t.showing = len(t.seats)
	t.count()
	return t
}

// see shows an observation to those that have to see it. It gives the first deadline of
// those.
func (t *tapAudience) see(o *event.Observation, v *base.View, emit event.Emit) (due unit.Time) {
	p := &t.previous
	if p.plain && base.Follows(o, p.date, p.wire, v) {
		changed := p.changed(o)
		p.take(o, changed)
		return t.seeCalm(o, changed, v, emit)
	}
	t.wake(v)
	t.calm.Again()
	if p.plain = base.PlainFrame(o); p.plain {
		p.take(o, base.AllChannels)
	}
	return t.showFrom(0, o, v, emit)
}

// seeCalm shows a calm frame to those that are awake. Where one of them raises a doubt with
// it, those that sleep behind it in the list have to see it too.
func (t *tapAudience) seeCalm(o *event.Observation, changed base.ChannelSet, v *base.View, emit event.Emit) (due unit.Time) {
	t.calm.Add(o.Wire, changed)
	t.showing = -1
	if changed&t.needs != 0 || o.Wire >= t.until {
		t.rouse(changed, o.Wire, v)
	}
	due = unit.Never
	for _, a := range t.awake {
		due = min(due, t.show(a.index, o, v, emit).due())
		if a.behind && !v.Sure(t.tap) {
			t.wake(v)
			due = min(due, t.showFrom(a.index+1, o, v, emit))
			break
		}
	}
	t.showing = len(t.seats)
	if !t.rested && !t.wakeful {
		t.rest(v)
	}
	return due
}

// showFrom shows an observation to all from a seat on.
func (t *tapAudience) showFrom(first int, o *event.Observation, v *base.View, emit event.Emit) (due unit.Time) {
	due = unit.Never
	for i := first; i < len(t.seats); i++ {
		due = min(due, t.show(i, o, v, emit).due())
	}
	return due
}

// show shows an observation to one.
func (t *tapAudience) show(i int, o *event.Observation, v *base.View, emit event.Emit) *seat {
	t.showing = i
	s := &t.seats[i]
	s.See(o, v, emit)
	return s
}

// due is a watcher's deadline.
func (s *seat) due() unit.Time {
	if s.timed == nil {
		return unit.Never
	}
	return s.timed.Due()
}

// interrupted takes it that something else than calm frames was shown to all. A beat does
// not end a run of those.
func (t *tapAudience) interrupted(o *event.Observation) {
	if t.woken = o.Kind == event.InputBeat; !t.woken {
		t.calm.Again()
		t.previous.plain = false
	}
}

// rest lets those sleep that can, if it is time to ask them.
func (t *tapAudience) rest(v *base.View) {
	calm, asked := t.calm.Asked(t.woken)
	if !asked || !v.Sure(t.tap) {
		return
	}
	t.woken = false
	some, all := t.layDown(false, calm, v)
	if all {
		feeding, _ := t.layDown(true, calm, v)
		some = some || feeding
	}
	if some {
		t.count()
	}
}

// layDown has sleepers sleep that can, those that feed others or those that do not, and
// reports whether some do now, and all.
func (t *tapAudience) layDown(feeding bool, calm base.Calm, v *base.View) (some, all bool) {
	all = true
	for _, a := range t.awake {
		if s := &t.seats[a.index]; s.sleeper != nil && s.feeds == feeding {
			s.lieDown(calm, v)
			some, all = some || s.asleep, all && s.asleep
		}
	}
	return some, all
}

// lieDown has a watcher sleep behind the latest frame of a run, if it can.
func (s *seat) lieDown(calm base.Calm, v *base.View) {
	if needs, until := s.sleeper.Rests(calm, v); until > calm.Wire(0) {
		s.asleep, s.since, s.needs, s.until = true, calm.Frames, needs, until
	}
}

// rouse wakes those that must see a frame in which some channels changed, and who feeds them.
func (t *tapAudience) rouse(changed base.ChannelSet, wire unit.Time, v *base.View) {
	for i := range t.seats {
		if s := &t.seats[i]; s.asleep && (s.feeds || changed&s.needs != 0 || wire >= s.until) {
			t.rise(i, v)
		}
	}
	t.count()
}

// wake wakes all.
func (t *tapAudience) wake(v *base.View) {
	if len(t.awake) == len(t.seats) {
		return
	}
	for i := range t.seats {
		if t.seats[i].asleep {
			t.rise(i, v)
		}
	}
	t.count()
}

// rise has one take what it was not shown: with the latest frame, unless that is still
// to be shown to it.
func (t *tapAudience) rise(i int, v *base.View) {
	s, missed := &t.seats[i], t.calm
	if i > t.showing {
		missed = missed.Before()
	}
	if n := missed.Frames - s.since; n > 0 {
		s.sleeper.Pass(int(n), missed, v)
	}
	s.asleep = false
}

// count says anew who is awake, and what wakes the others.
func (t *tapAudience) count() {
	t.awake, t.rested, t.needs, t.until = t.awake[:0], true, 0, unit.Never
	for i := range t.seats {
		s := &t.seats[i]
		if !s.asleep {
			t.awake = append(t.awake, awakeSeat{index: i})
			t.rested = t.rested && s.sleeper == nil
			continue
		}
		if n := len(t.awake); n > 0 {
			t.awake[n-1].behind = true
		}
		t.needs |= s.needs
		t.until = min(t.until, s.until)
	}
	if n := len(t.awake); n > 0 {
		t.awake[n-1].behind = n < len(t.seats)
	}
}

// changed are the channels and flags in which a frame differs.
func (p *previousFrame) changed(o *event.Observation) base.ChannelSet {
	if o.Repeats {
		return 0
	}
	f := o.Frame
	return base.ChannelSet(f.Flags^p.flags)<<bus.MaxChannels | base.Changed(&f.Counts, &p.counts)
}

// take keeps a frame, in which some channels changed.
func (p *previousFrame) take(o *event.Observation, changed base.ChannelSet) {
	p.date, p.wire, p.flags = o.At, o.Wire, o.Frame.Flags
	if changed != 0 {
		p.counts = o.Frame.Counts
	}
}
