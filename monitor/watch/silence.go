package watch

import "benchproof.example/monitor/fact"

// A line is silent after about five periods, 100 ms at least (common practice);
// what the tap's own clumping may hide is added.
const (
	silentPeriods = 5
	silentLeast   = 100 * fact.Millisecond
	// unheard is how long a tap may be up without a frame before that is said.
	unheard = 2 * fact.Second
)

// Silence says when a bus begins to be read and when it falls silent. It runs on
// dates: frames that lie in an adapter are not yet heard.
//
//	frames   | | | | | | | |                       | | | |
//	            ^ bus.locked       ^ bus.silent    ^ bus.locked
//	                             (onset: the last frame)
type Silence struct {
	Tap    uint8
	Locked bool
	Up     bool      // the tap is up and nothing has been said about its silence
	Since  fact.Time // date of the last frame, or of the tap's coming up
	Wire   fact.Time // wire time of the last frame
	Heard  bool      // there was a frame in this session
	Limit  fact.Time
}

// See implements Watcher.
func (s *Silence) See(o *fact.Observation, v *View, emit fact.Emit) {
	switch {
	case over(o, s.Tap):
		s.Up = false
		s.lock(v, false)
	case o.Tap != s.Tap:
	case o.Kind == fact.TapUp:
		s.Up, s.Since, s.Limit = true, o.At, unheard
		s.lock(v, false)
		if !s.Heard {
			s.Wire = o.At
		}
	case o.Kind == fact.FrameSeen:
		s.frame(o, v, emit)
	}
}

func (s *Silence) frame(o *fact.Observation, v *View, emit fact.Emit) {
	if !s.Locked {
		d := fact.LockedData{}
		if s.Heard {
			d.SilentNS = o.Wire - s.Wire
		}
		emit(fact.BusLocked, o.Wire, v.Taps[s.Tap].About(), d)
	}
	s.lock(v, true)
	s.Up, s.Heard = true, true
	s.Since, s.Wire = o.At, o.Wire
	s.Limit = max(silentPeriods*o.Pace.Period, silentLeast) + 2*o.Pace.Clump
	if !o.Pace.Known {
		s.Limit = 3 * silentLeast
	}
}

// lock says whether frames come. What was asked for before a silence is old.
func (s *Silence) lock(v *View, locked bool) {
	s.Locked = locked
	t := &v.Taps[s.Tap]
	t.Locked, t.Asked = locked, t.Asked && locked
}

// Due implements Watcher.
func (s *Silence) Due() fact.Time {
	if !s.Up {
		return fact.Never
	}
	return s.Since + s.Limit
}

// Expire implements Watcher.
func (s *Silence) Expire(_ fact.Time, v *View, emit fact.Emit) {
	s.Up = false
	s.lock(v, false)
	emit(fact.BusSilent, s.Wire, v.Taps[s.Tap].About(), fact.SilentData{LimitNS: s.Limit})
}
