package link

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// neverHeard is how long a tap may be up without a frame before that is said.
const neverHeard = 2 * unit.Second

// Silence says when a bus begins to be read and when it falls silent. It runs on
// dates: frames that lie in an adapter are not yet heard.
//
//	frames   | | | | | | | |                       | | | |
//	            ^ bus.locked       ^ bus.silent    ^ bus.locked
//	                             (onset: the last frame)
//
// Where no deadline reported a silence, since nobody may have been listening, it is
// reported when frames are back, unless they turn out to have been read late: then they
// lay waiting, and the bus was never silent. Where they are too few to fill the time it was.
// Behind a late delivery a deadline is patient, since a port may go on handing over in
// batches; frames that are back show a silence all the same.
type Silence struct {
	Tap    uint8
	Locked bool
	Up     bool      // the tap is up and nothing has been said about its silence
	Since  unit.Time // date of the last frame, or of the tap's coming up
	Wire   unit.Time // wire time of the last frame
	Heard  bool      // there was a frame in this session
	Limit  unit.Duration
	OnTime unit.Duration // the limit of a port that hands over on time
	Hole   silentStretch
}

// silentStretch is a silence that was not reported before frames came again.
type silentStretch struct {
	Open  bool
	From  unit.Time // wire time of the frame before it
	To    unit.Time // and behind it
	Limit unit.Duration

	Late    bool          // frames behind it were read late,
	Lacking unit.Duration // and did not fill so much of it and of those before it
	Before  unit.Duration // of those before it
}

const (
	// leastLacking is how much of a time in which nothing was read frames that were read late
	// may leave empty, and the bus was not silent: a period that is not known well leaves some.
	leastLacking = unit.Second
	// longestLate is how long frames may be read late, one delivery behind the other, for that
	// to be known well enough.
	longestLate = 10 * unit.Second
)

// See implements Watcher.
func (s *Silence) See(o *event.Observation, v *base.View, emit event.Emit) {
	switch {
	case base.TapClosed(o, s.Tap):
		s.Up, s.Hole = false, silentStretch{}
		s.lock(v, false)
	case o.Tap != s.Tap:
	case o.Kind == event.InputTapUp:
		s.Up, s.Since, s.Limit, s.OnTime = true, o.At, neverHeard, neverHeard
		s.lock(v, false)
		if !s.Heard {
			s.Wire = o.At
		}
	case o.Kind == event.FrameSeen:
		s.frame(o, v, emit)
	}
}

func (s *Silence) frame(o *event.Observation, v *base.View, emit event.Emit) {
	switch {
	case !s.Locked:
		d := event.LockedData{}
		if s.Heard {
			d.SilentNS = o.Wire.Sub(s.Wire)
		}
		emit(event.BusLocked, o.Wire, v.Taps[s.Tap].About(), d)
	case o.At.Sub(s.Since) > s.OnTime && (!s.Hole.Open || s.Hole.wasLate()):
		s.Hole = silentStretch{Open: true, From: s.Wire, To: o.Wire, Limit: s.OnTime, Before: s.Hole.Lacking}
	}
	switch {
	case o.Pace.Late:
		s.Hole.readLate(o)
	case !o.Pace.Unsure:
		s.reportSilence(v, emit)
	}
	s.lock(v, true)
	s.Up, s.Heard = true, true
	s.Since, s.Wire, s.Limit, s.OnTime = o.At, o.Wire, o.Pace.Limit(), o.Pace.OnTimeLimit()
}

// readLate takes a frame that was read late: the silence may be none.
func (h *silentStretch) readLate(o *event.Observation) {
	h.Late, h.Lacking = true, o.Pace.Lacking
	h.Open = h.Open && o.At.Sub(h.From) <= longestLate
}

// wasLate reports that frames which lay waiting fill it.
func (h *silentStretch) wasLate() bool { return h.Late && h.Lacking-h.Before < leastLacking }

// reportSilence describes a silence that frames are back after.
func (s *Silence) reportSilence(v *base.View, emit event.Emit) {
	h := s.Hole
	s.Hole = silentStretch{}
	if !h.Open || h.wasLate() {
		return
	}
	about := v.Taps[s.Tap].About()
	s.lock(v, false)
	emit(event.BusSilent, h.From, about, event.SilentData{LimitNS: h.Limit})
	emit(event.BusLocked, h.To, about, event.LockedData{SilentNS: h.To.Sub(h.From)})
}

// lock says whether frames come. What was asked for before a silence is old.
func (s *Silence) lock(v *base.View, locked bool) {
	s.Locked = locked
	t := &v.Taps[s.Tap]
	t.Locked, t.ModeKnown = locked, t.ModeKnown && locked
}

// Due implements base.Timed.
func (s *Silence) Due() unit.Time {
	if !s.Up {
		return unit.Never
	}
	return s.Since.Add(s.Limit)
}

// Expire implements base.Timed.
func (s *Silence) Expire(_ unit.Time, v *base.View, emit event.Emit) {
	s.reportSilence(v, emit)
	s.Up = false
	s.lock(v, false)
	emit(event.BusSilent, s.Wire, v.Taps[s.Tap].About(), event.SilentData{LimitNS: s.Limit, Never: !s.Heard})
}
