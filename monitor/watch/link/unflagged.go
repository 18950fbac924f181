package link

import (
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// unflagged looks in live frames for losses of the signal that no flag shows.
type unflagged struct {
	Moves  bursts
	Before unit.Time // wire time of the frame before, 0: none
	Leap   leap      // that is being looked at; At 0: none
	Doubt  suspicion // From 0: there is none
}

// step takes a live frame. It reports what was found: held is confirmed, stood may
// have been a loss and may have been a pause.
func (u *unflagged) step(s *base.CleanFrame, v *base.View) (held, stood *base.UnflaggedHold) {
	before := &u.Moves.Now
	moved := base.Changed(&s.Counts, before)
	switch {
	case u.Before == 0:
	case u.Leap.At != 0:
		if u.Leap.follow(s, before) {
			held, stood = u.resolve(v)
		}
	case moved != 0:
		held, stood = u.change(s, moved, v)
	}
	u.Moves.take(&s.Counts, moved, v, s.Wire)
	u.Before = s.Wire
	return held, stood
}

// reset lets go of what was under way: flags show, or nobody listened.
func (u *unflagged) reset() {
	u.Moves.Known, u.Moves.List = false, nil
	u.Before, u.Leap, u.Doubt = 0, leap{}, suspicion{}
}

// rests reports that values that stand change nothing.
func (u *unflagged) rests() bool {
	return u.Moves.Known && u.Before != 0 && u.Leap.At == 0 && u.Doubt.From == 0
}

// goesOn reports that behind a short hole nothing has changed: what stood still stands.
func (u *unflagged) goesOn(s *base.CleanFrame) bool {
	return u.Before != 0 && u.Leap.At == 0 && s.Counts == u.Moves.Now && s.Wire.Sub(u.Before) < fellSilent
}

// change takes values of which some moved since the frame before.
func (u *unflagged) change(s *base.CleanFrame, moved base.ChannelSet, v *base.View) (held, stood *base.UnflaggedHold) {
	stop := u.stopped(v)
	if u.Leap.begin(s, moved, v, u.Before, &u.Moves, stop) {
		return nil, nil
	}
	return u.hand(&stop, v)
}

// stopped is how the movement ended since which the channels that were in motion have
// stood, for long enough.
func (u *unflagged) stopped(v *base.View) lastLive {
	if x := u.Moves.latest(); x != nil && u.Before.Sub(x.Prev) < heldLeast && !x.receivers(0) {
		return lastLive{} // a hand moved a moment ago
	}
	stop := u.Moves.last(0, v)
	if !stop.Sure || u.Before.Sub(stop.At) < heldLeast {
		return lastLive{}
	}
	for ch, count := range u.Moves.Now {
		if stop.Moving&(1<<ch) != 0 && count != stop.Counts[ch] {
			return lastLive{}
		}
	}
	return stop
}

// resolve says what the leap was that has been looked at.
func (u *unflagged) resolve(v *base.View) (held, stood *base.UnflaggedHold) {
	l := u.Leap
	u.Leap = leap{}
	switch n := l.channels(); {
	case u.Doubt.From != 0 && n >= 2 && l.Stood >= heldLeast:
		u.Doubt.add(&l)
		if u.Doubt.Because == becauseLeapt {
			return u.end(&l, v)
		}
	case u.Doubt.From != 0:
		return u.end(&l, v)
	default:
		if u.Doubt.suspect(&l, v); u.Doubt.From == 0 && l.together(v) {
			return nil, &base.UnflaggedHold{From: l.Before.Add(-l.Stood), To: l.Before, Because: becauseLeapt}
		}
		if u.Doubt.From == 0 {
			return u.hand(&l.Stop, v)
		}
	}
	return nil, nil
}

// hand takes a movement that a hand made, and how the one before it had ended. A
// movement of a moment, a tremble, ends no suspicion.
func (u *unflagged) hand(stop *lastLive, v *base.View) (held, stood *base.UnflaggedHold) {
	if x := u.Moves.latest(); u.Doubt.From != 0 && x != nil && x.From >= u.Doubt.Back && x.Frames >= burstHand {
		return u.end(&u.Leap, v)
	}
	if u.Doubt.From == 0 && stop.Sure {
		return nil, &base.UnflaggedHold{From: stop.At, To: u.Before, Because: becauseMoved}
	}
	return nil, nil
}

// end decides a suspicion. back is the leap that came last.
func (u *unflagged) end(back *leap, v *base.View) (held, stood *base.UnflaggedHold) {
	d := u.Doubt
	u.Doubt = suspicion{}
	if d.confirmed(back, v) {
		return &d.UnflaggedHold, nil
	}
	if d.Because == becauseLeapt && d.Leaps > 1 {
		return nil, nil // a flight phase and back
	}
	return nil, &d.UnflaggedHold
}

// rest is for a tap that is no longer heard.
func (u *unflagged) rest(v *base.View) (held, stood *base.UnflaggedHold) {
	d := &u.Doubt
	switch {
	case d.From == 0:
		if stop := u.stopped(v); stop.Sure {
			stood = &base.UnflaggedHold{From: stop.At, To: u.Before, Because: becauseMoved}
		}
	case d.Because == becauseLeapt: // nothing came back
		stood = &d.UnflaggedHold
		if end := *d; u.Moves.Since <= d.Back {
			end.To, end.Back, end.Now = u.Before, -1, u.Moves.Now
			if end.presets(v) {
				return &end.UnflaggedHold, nil
			}
		}
	default:
		held = &d.UnflaggedHold
	}
	return held, stood
}
