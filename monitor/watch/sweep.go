package watch

import (
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

const (
	sweepRest  = 300 * fact.Millisecond // standing so long is at rest
	sweepGrain = 1_000                  // ns of width that a knob at rest may tremble
	sweepMoves = 5_000                  // ns of width: less is no movement
)

// Sweep tells each movement of the gain control, from rest to rest, and the
// range that it covered.
//
//	        ____
//	       /    \        least, most
//	______/      \_____
//	from            to
type Sweep struct {
	Tap   uint8
	Known bool
	Rest  int64 // width where it rested

	Still int64     // width that it stands at now,
	Since fact.Time // since
	Begun fact.Time // when it left its rest; only with Moved
	Moved bool
	Least int64
	Most  int64
}

// See implements Watcher.
func (s *Sweep) See(o *fact.Observation, v *View, emit fact.Emit) {
	if over(o, s.Tap) {
		s.Known, s.Moved = false, false
		return
	}
	if !judged(o, s.Tap) || signalOf(o.Frame) != fact.Live {
		return
	}
	w := Width(v.Sheet, o.Frame, v.Sheet.Gain.Channel)
	if !s.Known {
		s.Known, s.Rest, s.Still, s.Since = true, w, w, o.Wire
		return
	}
	if abs(w-s.Still) > sweepGrain {
		s.Still, s.Since = w, o.Wire
	}
	if !s.Moved && abs(w-s.Rest) >= sweepMoves {
		s.Moved, s.Begun, s.Least, s.Most = true, o.Wire, s.Rest, s.Rest
	}
	if !s.Moved {
		return
	}
	s.Least, s.Most = min(s.Least, w), max(s.Most, w)
	if o.Wire-s.Since >= sweepRest {
		s.tell(w, v, emit)
	}
}

func (s *Sweep) tell(w int64, v *View, emit fact.Emit) {
	t := &v.Taps[s.Tap]
	d := fact.SweepData{
		Tap: t.Name, Channel: v.Sheet.Gain.Channel, FromNS: s.Rest, ToNS: w, LeastNS: s.Least, MostNS: s.Most,
		Signal: t.Signal, Suspect: t.Suspect,
	}
	s.Rest, s.Moved = w, false
	emit(fact.GainSwept, s.Begun, about(d.Channel-1), d)
}

// sweeps reports whether the sheet has a gain control that a hand can sweep.
func sweeps(s *sheet.Sheet) bool {
	if s.Gain == nil {
		return false
	}
	c, ok := s.Channel(s.Gain.Channel)
	return ok && (c.Kind == sheet.Knob || c.Kind == sheet.Stick)
}

// Due implements Watcher.
func (s *Sweep) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (s *Sweep) Expire(fact.Time, *View, fact.Emit) {}
