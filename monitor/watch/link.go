package watch

import "benchproof.example/monitor/fact"

// Link says when no live frame has come for half a second and when live ones are
// back, by the flags alone, where no failsafe flag says it anyway. It tells the
// others whose values the frames carry.
//
//	flags   . . . L L L L L L L L . . . .
//	            ^ last live     |       ^ link.restored, from the first of four
//	                            ^ link.lost
type Link struct {
	Tap      uint8
	State    linkState
	Reported bool      // a loss was, and is not over,
	Live     fact.Time // wire time of the last live frame before it
}

// See implements Watcher.
func (l *Link) See(o *fact.Observation, v *View, emit fact.Emit) {
	if TapEnds(o, l.Tap) {
		*l = Link{Tap: l.Tap}
		return
	}
	if !MayJudge(o, l.Tap) {
		return
	}
	t := &v.Taps[l.Tap]
	up := l.State.Up
	l.State.see(o.Frame.Flags, o.Wire)
	l.report(up, t, emit)
	t.Signal = l.signal(t)
}

func (l *Link) report(up bool, t *Tap, emit fact.Emit) {
	s := &l.State
	switch {
	case s.Flags.Failsafe != 0: // failsafe.left says when that is over
		l.Reported = false
	case up && !s.Up && s.LiveAt != 0:
		l.Reported, l.Live = true, s.LiveAt
		emit(fact.LinkLost, s.LiveAt, t.About(), fact.LinkData{LiveNS: s.LiveAt, LostNS: s.Last - s.LiveAt})
	case !up && s.Up && l.Reported:
		l.Reported = false
		emit(fact.LinkRestored, s.Since, t.About(), fact.LinkData{LiveNS: s.Since, LostNS: s.Since - l.Live})
	}
}

// signal tells whose values the frames carry, as far as that is known: one frame
// alone changes nothing.
func (l *Link) signal(t *Tap) fact.Signal {
	s := &l.State
	many := s.Flags.Row >= LeastFrames
	switch {
	case t.Failsafe:
		return fact.Failsafe
	case s.gone():
		return fact.Lost
	case many:
		return fact.Missed
	case s.Up:
		return fact.Live
	}
	return ""
}

// Due implements Watcher.
func (l *Link) Due() fact.Time { return fact.Never }

// Expire implements Watcher.
func (l *Link) Expire(fact.Time, *View, fact.Emit) {}
