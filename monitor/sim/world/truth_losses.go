package world

import (
	"math"

	"benchproof.example/decode/bus"
)

// lossRecorder dates what one bus shows of a loss, by the ends of the frames that
// were really sent: what the best of listeners could have seen.
type lossRecorder struct {
	bench  *Plan
	plan   *ReceiverPlan
	truths *truthLog

	flags   FlagSet
	last    int64 // when the last frame was complete
	live    int64 // when the last live one was
	silent  bool
	lost    bool // no live frame since failsafe, or since power-up
	settled bool // the channels were reported since
}

// glimpse is what a frame doesn't show by itself.
type glimpse struct {
	live    bool // it carries what was heard, and no packet is missing
	settled bool // in failsafe, and the values are where they go
	presets bool // where they go is the presets, as far as there are any
	wrong   bool // it was made wrong
}

func newLossRecorder(s *Plan, plan *ReceiverPlan, l *truthLog) *lossRecorder {
	w := &lossRecorder{bench: s, plan: plan, truths: l, last: math.MinInt64}
	w.restart()
	return w
}

// restart is for a receiver that starts without a memory: values that it
// wakes up with have not come from anywhere.
func (w *lossRecorder) restart() { w.lost, w.settled = true, true }

// failsafe says that the receiver gave up: no frame since the last live one is.
func (w *lossRecorder) failsafe() {
	if !w.lost {
		w.truths.note(w.live, "frame", w.plan.Name, "last-live")
	}
	w.lost, w.settled = true, false
}

// see looks at a frame that was sent, and when it is complete.
func (w *lossRecorder) see(end int64, f *bus.Frame, g glimpse) {
	if w.silent {
		w.truths.note(end, "bus", w.plan.Name, "back")
	}
	w.silent, w.last = false, end
	if flags := FlagSet(f.Flags) & BothFlags; flags != w.flags {
		w.flags = flags
		w.truths.note(end, "flags", w.plan.Name, flags.String())
	}
	if g.wrong {
		w.truths.note(end, "frame", w.plan.Name, "wrong")
	}
	if g.live {
		if w.lost {
			w.truths.note(end, "frame", w.plan.Name, "first-live")
		}
		w.lost, w.live = false, end
	}
	if g.settled && !w.settled {
		w.settled = true
		w.channels(end, f, g.presets)
	}
}

// silence is a slot without a frame, one that went missing aside.
func (w *lossRecorder) silence() {
	if !w.silent && w.last > math.MinInt64 {
		w.truths.note(w.last, "bus", w.plan.Name, "silent")
	}
	w.silent = true
}

// channels reports where each channel came to rest.
func (w *lossRecorder) channels(end int64, f *bus.Frame, presets bool) {
	if !w.truths.keep {
		return
	}
	for i := range w.bench.Channels {
		c := &w.bench.Channels[i]
		rest := Truth{At: w.live, Kind: "channel", About: w.plan.Name + "/" + c.Name, To: "held"}
		rest.Width = w.bench.widthOf(bitsOf(f), c.Number)
		if _, has := w.plan.Presets[c.Number]; has && presets {
			rest.At, rest.To = end, "preset"
		}
		if w.plan.Stabiliser.moves(c.Number) {
			rest.At, rest.To, rest.Width = end, "moving", 0
		}
		w.truths.add(rest)
	}
}
