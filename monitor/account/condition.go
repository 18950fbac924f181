package account

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// condition is what a tap is like at a beat.
type condition int

// The conditions. Their times add up to the time listened.
const (
	waiting   condition = iota // listened, and no link is known to live
	live                       // a live link, in frames that may be believed
	outage                     // the receiver has no signal, or is silent
	unplugged                  // the port is not open
	phone                      // a phone is at the model
	drilling                   // a drill is under way
	doubted                    // a link, but many channels leapt at once and stand: presets perhaps
	conditions
)

// condition of a tap now.
func (t *Tap) condition(a *Account, w *base.Tap) condition {
	switch {
	case a.Phone || a.Felt:
		return phone
	case a.Drill:
		return drilling
	case !t.Up:
		return unplugged
	case t.Gone.Open:
		return outage
	case !t.Bus:
		return t.Outputs.condition()
	case w.Locked && !w.Doubtful():
		return live
	case mayBePresets(w):
		return doubted
	}
	return waiting
}

// mayBePresets says of a linked tap that nothing but a leap of many channels speaks against it.
func mayBePresets(w *base.Tap) bool {
	return w.Locked && w.Linked && w.Suspect && w.Signal == event.SignalLive && !w.Stopped && w.Loss == ""
}

// between is what counts for the piece between two beats: live, if both are.
func between(was, now condition) condition {
	if now == live {
		return was
	}
	return now
}

// pass counts a piece of time up to an instant, and the frames in it.
func (t *Tap) pass(is condition, passed unit.Duration, since, at unit.Time, w *base.Tap) {
	t.Times[is] += passed
	grown := w.Tally
	grown.LinkFrames -= t.Read.LinkFrames
	grown.LinkMissed -= t.Read.LinkMissed
	grown.GapFrames -= t.Read.GapFrames
	grown.DamageRuns -= t.Read.DamageRuns
	t.Read = w.Tally
	if is == phone || is == drilling || is == unplugged {
		return
	}
	t.Missed.add(&grown, is == live, passed)
	h := t.Strip.at(at.Sub(since))
	h.Frames += grown.LinkFrames
	h.Missed += grown.LinkMissed
	if is == live {
		h.LiveNS += passed
	}
}

// takeBack makes time that was counted as live, up to now, that of an outage.
func (t *Tap) takeBack(d unit.Duration) {
	d = max(0, min(d, t.Times[live]))
	t.Times[live] -= d
	t.Times[outage] += d
	t.Strip.takeBack(d)
}
