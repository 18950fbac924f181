package monitor_test

import (
	"fmt"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
)

const (
	knownMovement = 16 * unit.Second // 20 s are the least; the rest is how it is reckoned
	spikesAreMany = 3
)

func linkRight(w *scene, id []string, at unit.Time) string {
	switch id[1] {
	case "moving":
		moving := w.moving(at)
		if moving < knownMovement {
			return fmt.Sprintf("values moved for %.1f s only", float64(moving)/1e9)
		}
		for _, s := range w.heldSilently(w.sh.Failsafe.Within) {
			switch {
			case s.To > at.Add(slack) || !w.handsMoved(s):
			case w.unseeable(s):
				w.unseen[s.From] = true
			default:
				return fmt.Sprintf("the receiver held what it had heard without a flag, from %.2f s to %.2f s", float64(s.From)/1e9, float64(s.To)/1e9)
			}
		}
	case "missed":
		if share, of := w.missed(at, 200*unit.Millisecond); of == 0 || share > 2*w.sh.Link.MissedAtMost {
			return fmt.Sprintf("%d ppm of %d frames were flagged", share, of)
		}
	case "spikes":
		if w.live(at) < 10*unit.Second {
			return "heard live for less than 10 s"
		}
	}
	return ""
}

// handsMoved says whether a value was known to move when a hold began: a heartbeat
// beats, or a channel was under way at 200 µs/s or faster.
func (w *scene) handsMoved(s event.Span) bool {
	for ch := 1; ch <= servobus.Channels; ch++ {
		if _, moved := w.underWay(s, ch); moved {
			return true
		}
	}
	return w.sh.Heartbeat != nil && len(w.between(s.From.Add(-w.period), s.From.Add(w.period/2))) > 0
}

// missed is the share of frames that were flagged, in parts per million, losses left
// out: those that lasted so long, and those with the failsafe flag.
func (w *scene) missed(at unit.Time, loss unit.Duration) (ppm, of int64) {
	n := int64(0)
	for _, f := range w.between(0, at) {
		if f.Wrong {
			continue
		}
		if g := w.at(unit.Time(f.At)); g != nil && (g.lasts() > loss || g.flagged() >= 0) {
			continue
		}
		if of++; !plain(&f) {
			n++
		}
	}
	return n * 1_000_000 / max(of, 1), of
}

func linkWrong(w *scene, id []string, at unit.Time) string {
	switch id[1] {
	case "moving":
		for _, s := range w.heldSilently(100 * unit.Millisecond) {
			if s.From <= at {
				return ""
			}
		}
		return "the receiver never held anything without a flag"
	case "missed":
		if share, of := w.missed(at, w.sh.Failsafe.Within); !w.damage && share*2 < w.sh.Link.MissedAtMost {
			return fmt.Sprintf("%d ppm of %d frames were flagged", share, of)
		}
	case "spikes":
		if n := w.garbles(at); n < spikesAreMany && !w.damage {
			return fmt.Sprintf("%d runs of frames were wrong", n)
		}
	}
	return ""
}

// garbles is how many runs of wrong frames there were up to a moment.
func (w *scene) garbles(at unit.Time) (n int) {
	was := false
	for _, f := range w.between(0, at) {
		if f.Wrong && !was {
			n++
		}
		was = f.Wrong
	}
	return n
}
