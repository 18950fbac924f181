package link

import (
	"benchproof.example/decode/bus"
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

// pastFrames is how many live frames lie between two that are remembered.
const pastFrames = 8

// remember keeps what the border of a loss is looked at by.
func (l *Loss) remember(s *base.CleanFrame) {
	if l.Link.Alone == s.Wire {
		l.Live = s.Counts
	}
	if l.Link.LiveAt == s.Wire {
		if l.LiveFrames++; l.LiveFrames >= pastFrames {
			l.History, l.LiveFrames = [2]bus.Counts{l.History[1], s.Counts}, 0
		}
	}
	if l.Link.Flags.Row == base.MinFrames {
		l.Fourth = s.Counts
	}
}

// last are the values of the last live frame before flagged ones: those of the last
// frame without a flag or those that the flagged ones repeat, whichever lie nearer to
// what was before. A channel that was under way had come to what they repeat.
func (l *Loss) last() bus.Counts {
	was := l.Live
	x := l.Moves.latest()
	for ch, past := range l.History[0] {
		underWay := x != nil && x.Counts[ch] > burstStep && l.Link.LiveAt.Sub(x.Last[ch]) <= packet
		nearer := past != 0 && unit.Abs(int64(l.Fourth[ch])-int64(past)) < unit.Abs(int64(was[ch])-int64(past))
		if underWay || nearer {
			was[ch] = l.Fourth[ch]
		}
	}
	return was
}

// frozen: the builder was asked to switch off, and what moved stands.
func (l *Loss) frozen(s *base.CleanFrame, v *base.View) bool {
	n := len(l.Moves.List)
	if n == 0 || s.Wire.Sub(l.Moves.List[n-1].To) < lossFrozen {
		return false
	}
	return l.Moves.last(heartbeatMask(v), v).Sure
}

// found dates a loss that the wire shows. Frames flagged as lost date it, where the
// failsafe flag follows them as it should and nothing had frozen or leapt before them;
// else a movement that broke off does, in the drill, which asks for one.
func (l *Loss) found(v *base.View) {
	moved := l.Moves.last(heartbeatMask(v), v)
	if !l.Link.gone() {
		l.begin(moved.At, &moved.Counts, moving(v), v)
		l.Open.BuilderSaid = l.Link.Last
		return
	}
	plain := max(l.Link.LiveAt, l.Link.Alone)
	if moved.At > plain {
		moved = lastLive{} // a stabiliser's, in flagged frames
	}
	froze := moved.Sure && l.Link.LiveAt.Sub(moved.At) > flagLate
	soon := moved.Sure && (l.Step == drill.ActOff || l.Link.Last.Sub(moved.At) <= within(v))
	switch f := &l.Link.Flags; {
	case soon && f.sudden(), froze && heartbeatMask(v) != 0:
		l.begin(moved.At, &moved.Counts, moving(v), v)
	case !froze && f.dates() && !v.Taps[l.Tap].Leapt:
		was := l.last()
		l.begin(plain, &was, "flags", v)
		l.Open.Doubt = max(0, l.Link.Alone.Sub(l.Link.LiveAt))
	default:
		l.begin(plain, &l.Live, "unknown", v)
	}
}

func (l *Loss) begin(at unit.Time, live *bus.Counts, by string, v *base.View) {
	x := &lossState{Tap: l.Tap, At: at, By: by, Was: *live, Up: max(0, at.Sub(l.Link.Heard))}
	x.Flags.latest(&l.Link.Flags)
	if by == "builder" {
		x.BuilderSaid = v.PromptAt
	}
	if l.Step != "" {
		x.Drill = v.Drill
	}
	l.Open = x
}

// held takes over a loss that Stillness found in the values, once that is over.
func (l *Loss) held(v *base.View, emit event.Emit) {
	if from := v.Taps[l.Tap].UnflaggedHold.From; from <= l.Ended || l.Step != "" { // none, or one that was measured
		return
	}
	h := v.Taps[l.Tap].UnflaggedHold
	l.begin(h.From, &h.Was, h.Because, v)
	l.Open.BuilderSaid = h.From
	l.stop()
	l.Open.Stop, l.Open.Seen.Now = h.To, h.Now
	l.end(h.Back, v, emit)
}

// moving is what was known to move: the heartbeat where the sheet has one.
func moving(v *base.View) string {
	if v.Sheet.Heartbeat != nil {
		return becauseHeartbeat
	}
	return becauseMoved
}

// heartbeatMask is the channel of the heartbeat as a bit, 0 where there is none.
func heartbeatMask(v *base.View) uint32 {
	if h := v.Sheet.Heartbeat; h != nil {
		return 1 << (h.Channel - 1)
	}
	return 0
}
