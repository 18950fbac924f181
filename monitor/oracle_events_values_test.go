package monitor_test

import (
	"fmt"
	"slices"

	"benchproof.example/decode/bus"
	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// valuesPaused says that a loss can't be distinguished from a pause: false only where values
// moved meanwhile.
func valuesPaused(w *scene, e *event.Event) string {
	d := e.Data.(event.ValuesStillData)
	frames := slices.DeleteFunc(slices.Clone(w.between(e.From.Add(slack), e.From.Add(d.ForNS-slack))), func(f world.Frame) bool { return f.Wrong || !plain(&f) })
	for i := 1; i < len(frames); i++ {
		for ch, count := range frames[i].Frame.Counts {
			if was := frames[0].Frame.Counts[ch]; max(count, was)-min(count, was) > 2 { // a tremble is none
				return "values moved meanwhile"
			}
		}
	}
	return ""
}

// stood says whether four frames in a row had a channel at a width.
func (w *scene) stood(frames []world.Frame, channel int, width unit.Width, is func(*world.Frame) bool) bool {
	return w.stoodNear(frames, channel, width, near, is)
}

func (w *scene) stoodNear(frames []world.Frame, channel int, width, within unit.Width, is func(*world.Frame) bool) bool {
	return run(frames, func(f *world.Frame) bool {
		off := w.width(&f.Frame, channel) - width
		return is(f) && off <= within && off >= -within
	}) >= 0
}

// attributed is whose the frames must be that an event takes for the transmitter's.
func (w *scene) attributed(signal event.Signal, suspect bool) func(*world.Frame) bool {
	if signal == event.SignalLive && !suspect {
		return func(f *world.Frame) bool { return f.Live || w.subtle(f) }
	}
	return func(*world.Frame) bool { return true }
}

func switchMoved(w *scene, e *event.Event) string {
	d := e.Data.(event.SwitchData)
	c, ok := w.sh.ByName(e.About[len("switch:"):])
	if !ok || c.Number > servobus.Channels {
		return ""
	}
	if !w.stoodNear(w.around(e, 200*unit.Millisecond), c.Number, d.WidthNS, w.sh.Tolerance.Position, w.attributed(d.Signal, d.Suspect)) {
		return "the transmitter's switch did not stand there for four frames"
	}
	return ""
}

func modeAsked(w *scene, e *event.Event) string {
	d := e.Data.(event.ModeData)
	if d.Passing {
		if !slices.ContainsFunc(w.around(e, 0), func(f world.Frame) bool { return !f.Wrong && w.asks(&f.Frame, d.Widths) }) {
			return "no frame that was sent asked for it"
		}
		return ""
	}
	for name, width := range d.Widths {
		c, ok := w.sh.ByName(name)
		if ok && !w.stoodNear(w.around(e, 200*unit.Millisecond), c.Number, width, w.sh.Tolerance.Position, w.attributed(d.Signal, d.Suspect)) {
			return name + " did not stand there for four frames"
		}
	}
	return ""
}

// asks says whether a frame has channels at widths.
func (w *scene) asks(f *bus.Frame, widths map[string]unit.Width) bool {
	for name, width := range widths {
		c, ok := w.sh.ByName(name)
		if off := w.width(f, c.Number) - width; !ok || off > w.sh.Tolerance.Position || off < -w.sh.Tolerance.Position {
			return false
		}
	}
	return true
}

func valuesJumped(w *scene, e *event.Event) string {
	d := e.Data.(event.JumpData)
	frames := w.around(e, 0)
	for i := 1; i < len(frames); i++ {
		switch a, b := &frames[i-1], &frames[i]; {
		case !leapt(a, b, &d):
		case a.Wrong || b.Wrong:
			return "one to three wrong frames leapt"
		default:
			return w.insideKnown(unit.Time(b.At))
		}
	}
	return "no such leap was on the wire"
}

func leapt(a, b *world.Frame, d *event.JumpData) bool {
	for i, ch := range d.Channels {
		if a.Frame.Counts[ch-1] != d.From[i] || b.Frame.Counts[ch-1] != d.To[i] {
			return false
		}
	}
	return true
}

// insideKnown says whether a moment lies in a failsafe that was flagged, or is the
// return from one.
func (w *scene) insideKnown(at unit.Time) string {
	for i := range w.gones {
		g := &w.gones[i]
		f := g.flagged()
		if f < 0 || g.from < 0 {
			continue
		}
		if at > g.from.Add(f+slack) && at < g.to {
			return "the failsafe is known"
		}
		if at >= g.to && at < g.to.Add(unit.Second/2) {
			return "it is the return from a failsafe"
		}
	}
	return ""
}

func gestureMade(w *scene, e *event.Event) string {
	d := e.Data.(event.GestureData)
	for i := range w.sh.Gestures {
		g := &w.sh.Gestures[i]
		if g.Name != d.Gesture {
			continue
		}
		c, _ := w.sh.Channel(g.Channel)
		from, to := w.window(e)
		n := 0
		for _, at := range w.dates("switch", c.Name, g.To, to) {
			if at >= from {
				n++
			}
		}
		if n < g.Times {
			return fmt.Sprintf("hands made %d movements", n)
		}
	}
	return ""
}

func travelClipped(w *scene, e *event.Event) string {
	d := e.Data.(event.TravelClippedData)
	if d.Short || !w.stood(w.around(e, 0), d.Channel, d.WidthNS, func(f *world.Frame) bool { return f.Frame.Counts[d.Channel-1]%2047 == 0 }) {
		return "nothing cuts its travel off: a hand, a gate or a rate stopped it"
	}
	return ""
}

func valuesStill(w *scene, e *event.Event) string {
	from, to := w.window(e)
	for _, s := range w.heldSilently(100 * unit.Millisecond) {
		if s.From <= to && s.To >= from {
			return ""
		}
	}
	return "the receiver forwarded what it heard, or flagged that it did not"
}

func valuesMoving(w *scene, e *event.Event) string {
	if run(w.around(e, 200*unit.Millisecond), func(f *world.Frame) bool { return f.Live }) < 0 {
		return "no live frames came"
	}
	return ""
}

func valueSpiked(w *scene, e *event.Event) string {
	if w.damage || slices.ContainsFunc(w.around(e, 0), func(f world.Frame) bool { return f.Wrong }) {
		return ""
	}
	return "no frame was wrong"
}

// sweepOff is how far a control may creep before that is a movement, ns.
const sweepOff = 5_000

func gainSwept(w *scene, e *event.Event) string {
	d := e.Data.(event.GainSweptData)
	frames, is := w.around(e, 0), w.attributed(d.Signal, d.Suspect)
	if !w.stood(frames, d.Channel, d.ToNS, is) {
		return "it does not rest there"
	}
	if d.Suspect { // then it claims nothing
		return ""
	}
	for _, width := range []unit.Width{d.LeastNS, d.MostNS} {
		if width != d.FromNS && !slices.ContainsFunc(frames, func(f world.Frame) bool {
			off := w.width(&f.Frame, d.Channel) - width
			return !f.Wrong && is(&f) && off <= sweepOff && off >= -sweepOff
		}) {
			return fmt.Sprintf("it was never at %d", width)
		}
	}
	return ""
}
