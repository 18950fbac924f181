package monitor_test

import (
	"slices"
	"strings"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

// gone is a stretch in which the receiver forwarded nothing that the transmitter
// sent, from the last live frame to the first one after it.
type gone struct {
	from, to unit.Time // -1: no live frame before; end of the sitting: none after
	back     bool
	power    unit.Time        // from when its supply was cut, or never
	frames   []world.Frame    // sent meanwhile while it had been on all along, without wrong ones
	was      *bus.Frame       // the last live one
	subtle   bool             // see judgeSubtle
	outcome  map[string]truth // by channel, what it came to: reported by the simulated bench
}

// lose finds the stretches without a live frame.
func (w *scene) lose() {
	open := gone{from: -1, power: unit.Never}
	last := unit.Time(-1)
	var was *bus.Frame
	for i := range w.frames {
		f := &w.frames[i]
		at := unit.Time(f.At)
		switch {
		case f.Wrong:
			continue
		case !f.Live:
			open.frames = append(open.frames, *f)
			continue
		}
		if len(open.frames) > 0 || last < 0 || at.Sub(last) >= hushes {
			open.to, open.back = at, true
			w.close(&open)
		}
		last, was = at, &f.Frame
		open = gone{from: at, was: was, power: unit.Never}
	}
	open.to = w.end
	if len(open.frames) > 0 || open.to.Sub(open.from) >= unit.Second+hushes {
		w.close(&open)
	}
}

// cutsShort is how long after a cut a frame may still end.
const cutsShort = 10 * unit.Millisecond

func (w *scene) close(g *gone) {
	for _, cut := range w.cuts {
		if g.from.Add(-cutsShort) <= cut && cut < g.to {
			g.power = min(g.power, cut)
		}
	}
	g.frames = slices.DeleteFunc(g.frames, func(f world.Frame) bool { return unit.Time(f.At) > g.power })
	g.outcome = map[string]truth{}
	for _, x := range w.truths {
		if name, ok := strings.CutPrefix(x.About, w.tap+"/"); x.Kind == "channel" && ok && unit.Time(x.At) >= g.from && unit.Time(x.At) < min(g.to, g.power) {
			g.outcome[name] = x
		}
	}
	g.judgeSubtle()
	w.gones = append(w.gones, *g)
}

// linked says that it is a loss of a link that there was, and that the receiver kept
// its supply to begin with.
func (g *gone) linked() bool { return g.from >= 0 && g.power > g.from.Add(slack) }

// lasts is for how long what the receiver does about it could be watched.
func (g *gone) lasts() unit.Duration { return min(g.to, g.power).Sub(g.from) }

// subtle is a frame of an unflagged loss in which too little leapt to be distinguished from
// hands, fewer than three channels; or one from before the first link, without a flag.
func (w *scene) subtle(f *world.Frame) bool {
	if f.Wrong || f.Live {
		return false
	}
	g := w.at(unit.Time(f.At))
	return g != nil && (g.from < 0 || g.linked()) && unit.Time(f.At) < g.power && g.subtle
}

const (
	leapsMany = 3
	leapsFar  = 32 // counts
)

// judgeSubtle finds out whether a stretch says nothing of itself.
func (g *gone) judgeSubtle() {
	if len(g.frames) == 0 || run(g.frames, func(f *world.Frame) bool { return !plain(f) }) >= 0 {
		return
	}
	g.subtle = true
	before := g.was
	if before == nil {
		before = &g.frames[0].Frame
	}
	for i := range g.frames {
		leaps := 0
		for ch, count := range g.frames[i].Frame.Counts {
			if d := int(count) - int(before.Counts[ch]); d >= leapsFar || d <= -leapsFar {
				leaps++
			}
		}
		g.subtle = g.subtle && leaps < leapsMany
		before = &g.frames[i].Frame
	}
}

// flagged is from the last live frame to the failsafe flag, -1: it never came.
func (g *gone) flagged() unit.Duration {
	if at := run(g.frames, withFlag(bus.Failsafe)); at >= 0 {
		return at.Sub(g.from)
	}
	return -1
}

// silent is the last frame before the receiver fell silent for long, -1: it did not.
func (g *gone) silent() unit.Time {
	last := g.from
	for i := range g.frames {
		at := unit.Time(g.frames[i].At)
		if at.Sub(last) >= fallsSilent {
			return last
		}
		last = at
	}
	if min(g.to, g.power).Sub(last) >= fallsSilent {
		return last
	}
	return -1
}

// rests is what four frames in a row agree on at its end for a channel, from 1, in
// counts, and since when it stood so; false where there is no such thing.
func (g *gone) rests(channel int) (count uint32, since unit.Time, ok bool) {
	n := len(g.frames)
	if n < settles {
		return 0, 0, false
	}
	count = g.frames[n-1].Frame.Counts[channel-1]
	i := n
	for i > 0 && g.frames[i-1].Frame.Counts[channel-1] == count {
		i--
	}
	if i == n || n-i < settles {
		return 0, 0, false
	}
	since = unit.Time(g.frames[i].At)
	if i == 0 && g.was != nil && g.was.Counts[channel-1] == count {
		since = g.from
	}
	return count, since, true
}

// dates says whether a time may be reported as that of the last live frame. Frames that
// followed it can't be distinguished from live ones until a flag comes or a value leaps.
func (g *gone) dates(t unit.Time, off unit.Duration) bool {
	latest := g.from
	for i := range g.frames {
		latest = unit.Time(g.frames[i].At)
		if !plain(&g.frames[i]) || i > 0 && moved(&g.frames[i-1].Frame, &g.frames[i].Frame) {
			break
		}
	}
	return t >= g.from.Add(-off) && t <= latest.Add(off)
}

// stayed says whether a channel, from 1, that came to a count was held there: it is what
// the last live frame had, or the one after it, which may carry a packet more.
func (g *gone) stayed(w *scene, channel int, count uint32) bool {
	for _, c := range []uint32{g.was.Counts[channel-1], g.frames[0].Frame.Counts[channel-1]} {
		if off := w.sh.Width(count) - w.sh.Width(c); off <= near && off >= -near {
			return true
		}
	}
	return false
}

// heldSilently are the stretches in which the receiver sent what was old without a
// flag, for so long at least. Where the failsafe flag came in time it said so.
func (w *scene) heldSilently(least unit.Duration) (list []event.Span) {
	for i := range w.gones {
		g := &w.gones[i]
		if f := g.flagged(); g.from >= 0 && (f < 0 || f > w.sh.Failsafe.Within) {
			list = append(list, g.unflagged(w.period)...)
		}
	}
	return slices.DeleteFunc(list, func(s event.Span) bool { return s.To.Sub(s.From) < least })
}

// unflagged are the runs of its frames without a flag.
func (g *gone) unflagged(period unit.Duration) (list []event.Span) {
	from, last := unit.Time(-1), g.from
	for i := range g.frames {
		f := &g.frames[i]
		at := unit.Time(f.At)
		switch {
		case !plain(f) && from >= 0:
			list = append(list, event.Span{From: from, To: at})
			from = -1
		case plain(f) && from < 0:
			from = last // what was sent last was of the same age
		}
		last = at
	}
	if from >= 0 {
		list = append(list, event.Span{From: from, To: min(last.Add(period), g.to)})
	}
	return list
}
