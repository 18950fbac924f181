// Package link holds the watchers of a bus: its line, the radio link, and what the
// receiver does without a signal.
package link

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// Link says when no live frame has come for half a second and when live ones are
// back, by the flags alone, where no failsafe flag says it anyway. It reports the
// others whose values the frames carry.
//
//	flags   . . . L L L L L L L L . . . .
//	            ^ last live     |       ^ link.restored, from the first of four
//	                            ^ link.lost
type Link struct {
	Tap      uint8
	State    linkState
	Reported bool      // a loss was, and is not over,
	Live     unit.Time // wire time of the last live frame before it
}

// See implements Watcher.
func (l *Link) See(o *event.Observation, v *base.View, emit event.Emit) {
	if base.TapClosed(o, l.Tap) {
		*l = Link{Tap: l.Tap}
		return
	}
	if base.ReadLate(o, l.Tap) {
		l.State.unheard()
	}
	if !base.Judgeable(o, l.Tap) {
		return
	}
	t := &v.Taps[l.Tap]
	up := l.State.Up
	l.State.see(o.Frame.Flags, o.Wire)
	l.report(up, t, emit)
	t.Signal = l.signal(t)
}

func (l *Link) report(up bool, t *base.Tap, emit event.Emit) {
	s := &l.State
	switch {
	case s.Flags.Failsafe != 0: // failsafe.left says when that is over
		l.Reported = false
	case up && !s.Up && s.LiveAt != 0:
		l.Reported, l.Live = true, s.LiveAt
		emit(event.LinkLost, s.LiveAt, t.About(), event.LinkData{LiveNS: s.LiveAt, LostNS: s.Last.Sub(s.LiveAt)})
	case !up && s.Up && l.Reported:
		l.Reported = false
		emit(event.LinkRestored, s.Since, t.About(), event.LinkData{LiveNS: s.Since, LostNS: s.Since.Sub(l.Live)})
	}
}

// signal reports whose values the frames carry, as far as that is known: one frame
// alone changes nothing.
func (l *Link) signal(t *base.Tap) event.Signal {
	s := &l.State
	many := s.Flags.Row >= base.MinFrames
	switch {
	case t.Failsafe:
		return event.SignalFailsafe
	case s.gone():
		return event.SignalLost
	case many:
		return event.SignalMissed
	case s.Up:
		return event.SignalLive
	}
	return ""
}

// Rests implements base.Sleeper: live frames only go on counting.
func (l *Link) Rests(base.Calm, *base.View) (base.ChannelSet, unit.Time) {
	if !l.State.rests() {
		return 0, 0
	}
	return 0, unit.Never
}

// Pass implements base.Sleeper.
func (l *Link) Pass(n int, c base.Calm, _ *base.View) { l.State.goOn(n, c.Wire(0)) }
