package monitor_test

import (
	"fmt"
	"slices"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// busLate: frames are read late only where a stall of the computer kept them waiting.
func busLate(w *scene, e *event.Event) string {
	d, stalled := e.Data.(event.LateData), event.Span{From: unit.Never}
	for _, s := range w.stalls {
		if s.From <= e.At && s.To >= e.From.Add(-slack-w.late) {
			stalled.From, stalled.To = min(stalled.From, s.From), max(stalled.To, s.To)
		}
	}
	if stalled.From == unit.Never {
		return "the computer never stood still"
	}
	last := unit.Time(0) // frame that could be read before
	for _, f := range w.between(0, stalled.From) {
		last = unit.Time(f.At)
	}
	off := slack + w.late
	switch frames := int64(len(w.between(last.Add(-off), e.At))); {
	case d.Frames < 1 || d.Frames > frames:
		return fmt.Sprintf("%d frames were on the wire", frames)
	case d.SilentNS > stalled.To.Sub(last)+off:
		return fmt.Sprintf("nobody read for %.3f s", float64(stalled.To.Sub(last))/1e9)
	}
	return ""
}

// lineFault: where frames are sent, or the wire is quiet, no line has a fault. Nothing arrives
// where no frame was ever sent.
func lineFault(w *scene, e *event.Event) string {
	d, from := e.Data.(event.LineFaultData), e.From
	if d.Cause == "nothing" {
		from = 0
	}
	switch n := len(w.between(from, e.At)); {
	case n > 0:
		return fmt.Sprintf("%d frames were on the wire", n)
	case d.Cause != "nothing" && !(w.damage && slices.Contains([]string{"noise", "stream", "none"}, d.Cause)):
		return "the line has no fault"
	}
	return ""
}

// exposure is how far off what was watched may be: a few per cent, or a second, in
// which a loss is not known yet.
func exposure(of unit.Duration) unit.Duration { return max(of/30, unit.Second) }

// busWatched: not more was watched than there was.
func busWatched(w *scene, e *event.Event) string {
	d := e.Data.(event.ExposureData)
	from, to := e.From.Add(-slack), e.At
	frames := w.between(from, to)
	live, moving := w.liveIn(from, to), w.moves(frames)
	flagged := int64(0)
	for i := range frames {
		if !plain(&frames[i]) {
			flagged++
		}
	}
	switch {
	case d.LiveNS > live+exposure(live):
		return fmt.Sprintf("live for %.1f s only", float64(live)/1e9)
	case d.LinkNS > to.Sub(from):
		return fmt.Sprintf("the stretch took %.1f s", float64(to.Sub(from))/1e9)
	case d.MovingNS > moving+exposure(moving):
		return fmt.Sprintf("values moved for %.1f s only", float64(moving)/1e9)
	case d.BeatingNS > 0 && (w.sh.Heartbeat == nil || d.BeatingNS > live+exposure(live)):
		return "no heartbeat beat for so long"
	case d.LinkFrames > int64(len(frames)):
		return fmt.Sprintf("%d frames came", len(frames))
	case d.LinkMissed > flagged && !w.damage:
		return fmt.Sprintf("%d frames were flagged", flagged)
	}
	return w.movedAll(frames, d.Moved)
}

// moves is for how long some channel but the heartbeat's moved in frames without a flag,
// pauses of less than a second and frames that were missed included.
func (w *scene) moves(frames []world.Frame) (lasted unit.Duration) {
	var rest bus.Frame
	changed, last := unit.Time(-1), unit.Time(-1)
	for i := range frames {
		f := &frames[i]
		at := unit.Time(f.At)
		if !plain(f) || f.Wrong {
			continue
		}
		if last < 0 || at.Sub(last) > bridged {
			rest, changed = f.Frame, -1
		}
		last = at
		if !w.follow(&rest, &f.Frame) {
			continue
		}
		if changed >= 0 && at.Sub(changed) < unit.Second {
			lasted += at.Sub(changed)
		}
		changed = at
	}
	return lasted
}

// follow moves what stands two counts or more off, but the heartbeat, to where a frame
// has it, and reports whether anything did.
func (w *scene) follow(rest, now *bus.Frame) (moved bool) {
	for i, c := range now.Counts {
		beats := w.sh.Heartbeat != nil && w.sh.Heartbeat.Channel == i+1
		if d := int(c) - int(rest.Counts[i]); !beats && (d > 1 || d < -1) {
			rest.Counts[i], moved = c, true
		}
	}
	return moved
}

// movedAll says which channel did not stand at two levels.
func (w *scene) movedAll(frames []world.Frame, channels []int) string {
	const apart = 20_000 // ns of width
	for _, ch := range channels {
		least, most := unit.Width(1<<62), unit.Width(0)
		for i := range frames {
			if f := &frames[i]; ch <= servobus.Channels && !f.Wrong {
				least, most = min(least, w.width(&f.Frame, ch)), max(most, w.width(&f.Frame, ch))
			}
		}
		if ch <= servobus.Channels && most-least < apart-near {
			return fmt.Sprintf("channel %d moved by %d", ch, most-least)
		}
	}
	return ""
}

// unseeable says that nobody can see in the values that a receiver held what it had
// heard, where no heartbeat beats: the sticks that moved stood where they come to rest
// by themselves, at neutral or at a place of the sheet, or fewer than two axes, or none
// that is a stick's, leapt when it ended: one axis that leaps, or a switch that moved
// meanwhile, may be a hand's. Such holds are not counted against "values
// never froze", but in how many there were.
func (w *scene) unseeable(s event.Span) bool {
	if w.sh.Heartbeat != nil {
		return false
	}
	free, leapt, sticks := false, 0, 0
	before, after := w.lastBefore(s.To), w.firstLive(s.To)
	held := func(c sheet.Channel) bool { return c.Number <= servobus.Channels && handled[c.Kind] }
	for _, c := range w.sh.Channels {
		if !held(c) {
			continue
		}
		stick := c.Kind != sheet.Knob
		width, moved := w.underWay(s, c.Number)
		free = free || moved && stick && !c.RestsNear(width, w.sh.Tolerance.Position)
		if !w.leaps(before, after, c.Number) {
			continue
		}
		if leapt++; stick {
			sticks++
		}
	}
	return !free || leapt < 2 || sticks == 0
}

// handled are the kinds of channel that a hand moves from place to place.
var handled = map[string]bool{sheet.Stick: true, sheet.Throttle: true, sheet.Knob: true}

// leaps reports that a channel went far from one frame to another; nil is none.
func (w *scene) leaps(before, after *bus.Frame, channel int) bool {
	return before != nil && after != nil && unit.Abs(w.width(before, channel)-w.width(after, channel)) >= leapSeen
}

// leapSeen is the least leap that is distinguished from a hand, ns of width.
const leapSeen = 50_000

// underWay says where a channel stood when a hold began, and whether it moved then.
func (w *scene) underWay(s event.Span, channel int) (width unit.Width, moved bool) {
	const over, far = 100 * unit.Millisecond, 20_000 // ns of width
	least, most := unit.Width(1<<62), unit.Width(0)
	frames := w.between(s.From.Add(-over-w.period), s.From.Add(w.period/2))
	for i := range frames {
		if f := &frames[i]; f.Live {
			width = w.width(&f.Frame, channel)
			least, most = min(least, width), max(most, width)
		}
	}
	return width, most-least >= far
}

// lastBefore is the last frame of a stretch that ends at a moment, and firstLive the
// first live one from then on; nil: there is none.
func (w *scene) lastBefore(at unit.Time) (last *bus.Frame) {
	frames := w.between(at.Add(-unit.Second), at.Add(-1))
	for i := range frames {
		if !frames[i].Wrong && !frames[i].Live {
			last = &frames[i].Frame
		}
	}
	return last
}

func (w *scene) firstLive(at unit.Time) *bus.Frame {
	frames := w.between(at.Add(-w.period), w.end)
	for i := range frames {
		if frames[i].Live && !frames[i].Wrong {
			return &frames[i].Frame
		}
	}
	return nil
}

// unsure is how far off the last live frame may be reported: where frames were flagged
// shortly before, fewer than four without a flag may have come last.
func (w *scene) unsure(g *gone) unit.Duration {
	const shortly = 200 * unit.Millisecond
	for _, f := range w.between(g.from.Add(-shortly), g.from) {
		if !plain(&f) {
			return shortly
		}
	}
	return slack
}
