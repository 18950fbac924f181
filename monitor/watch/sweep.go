package watch

import (
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
)

const (
	sweepRest  = 300 * fact.Millisecond // standing so long is at rest
	sweepGrain = 1                      // counts that a knob at rest may tremble
	sweepMoves = 8                      // counts: less is no movement
)

// Sweep tells each movement of the gain control, from rest to rest, and the
// range that it covered. One frame settles nothing: a width belongs to the range
// if two in a row went as far, and what comes back as fast as a spike was none.
//
//	        ____
//	       /    \        least, most
//	______/      \_____
//	from  ^ onset   to ^ told
type Sweep struct {
	Tap   uint8
	Known bool
	Rest  int64 // counts where it rested; only with Known

	Have   bool
	Count  int64     // of the last frame
	Last   fact.Time // its wire time
	Still  int64     // count that it stands at now,
	Since  fact.Time // since
	Frames int       // for so many frames

	Moved bool
	Begun fact.Time // when it left its rest; only with Moved
	Away  int       // frames since that were not at rest
	Least int64
	Most  int64
}

// See implements Watcher.
func (s *Sweep) See(o *fact.Observation, v *View, emit fact.Emit) {
	if over(o, s.Tap) {
		*s = Sweep{Tap: s.Tap}
		return
	}
	if !judged(o, s.Tap) || signalOf(o.Frame) != fact.Live {
		return
	}
	c := int64(o.Frame.Counts[v.Sheet.Gain.Channel-1])
	if !s.Have || o.Wire-s.Last > apart || abs(c-s.Still) > sweepGrain {
		s.Still, s.Since, s.Frames = c, o.Wire, 0
	}
	if !s.Have {
		s.Have, s.Count = true, c
	}
	s.Frames++
	s.follow(c, o)
	s.Count, s.Last = c, o.Wire
	if s.Frames >= settleFrames && o.Wire-s.Since >= sweepRest {
		s.rest(v, emit)
	}
}

// follow takes a count into the movement under way, or begins one.
func (s *Sweep) follow(c int64, o *fact.Observation) {
	if !s.Known {
		return
	}
	if !s.Moved && abs(c-s.Rest) >= sweepMoves {
		s.Moved, s.Begun, s.Away, s.Least, s.Most = true, o.Wire, 0, s.Rest, s.Rest
	}
	if !s.Moved {
		return
	}
	s.Least = min(s.Least, max(c, s.Count))
	s.Most = max(s.Most, min(c, s.Count))
	if abs(c-s.Rest) >= sweepMoves {
		s.Away++
	}
}

// rest takes it that the control stands.
func (s *Sweep) rest(v *View, emit fact.Emit) {
	from, away := s.Rest, abs(s.Still-s.Rest) >= sweepMoves
	switch {
	case !s.Known:
		s.Known, s.Rest = true, s.Still
	case s.Moved:
		s.Moved = false
		if !away && s.Away <= spikeFrames {
			return
		}
		s.Rest = s.Still
		s.tell(from, v, emit)
	}
}

func (s *Sweep) tell(from int64, v *View, emit fact.Emit) {
	t, scale := &v.Taps[s.Tap], v.Sheet.Scale
	a, b := scale.Width(s.Least), scale.Width(s.Most)
	d := fact.SweepData{
		Tap: t.Name, Channel: v.Sheet.Gain.Channel, FromNS: scale.Width(from), ToNS: scale.Width(s.Still),
		LeastNS: min(a, b), MostNS: max(a, b), Signal: t.Signal, Suspect: t.Suspect,
	}
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
