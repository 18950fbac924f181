//go:build !race

package monitor_test

import (
	"slices"
	"sort"
	"strings"

	"benchproof.example/decode/servobus"
	"benchproof.example/monitor/fact"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/standin"
)

const (
	// settles is how many equal plain frames are the least that settles anything.
	settles = 4
	// slack is how far a date may be off: a period, clumps, and where hands differ.
	slack = 60 * fact.Millisecond
	// near is how far a width may be off, ns: two counts and what rounding does.
	near = 1_300
	// hushes is the least silence, and fallsSilent what a receiver is said to do.
	hushes      = 80 * fact.Millisecond
	fallsSilent = fact.Second
	// holdTold is how long a hold must have been watched before it is wrong.
	holdTold = 5 * fact.Second
)

// gone is a stretch in which the receiver forwarded nothing that the transmitter
// sent, from the last live frame to the first one after it.
type gone struct {
	from, to fact.Time // -1: no live frame before; end of the sitting: none after
	back     bool
	power    fact.Time        // from when its supply was cut, or never
	frames   []standin.Frame  // sent meanwhile while it had been on all along, without wrong ones
	was      *servobus.Frame  // the last live one
	subtle   bool             // see judgeSubtle
	outcome  map[string]truth // by channel, what it came to: told by the stand-in
}

type truth = standin.Truth

// world is all that really happened at one bus in a sitting.
type world struct {
	tap    string
	sh     *sheet.Sheet
	says   []fact.Input
	truths []truth
	frames []standin.Frame
	period fact.Time
	late   fact.Time // what the adapter may add
	damage bool      // the wire is bad
	end    fact.Time
	gones  []gone
	stalls []fact.Span
	cuts   []fact.Time        // of the supply
	unseen map[fact.Time]bool // by their beginning: holds past which values were seen right that never froze, see unseeable
}

func newWorld(sh *sheet.Sheet, s *sitting, sim *standin.Sim, tap int) *world {
	w := &world{tap: s.taps()[tap], unseen: map[fact.Time]bool{}, sh: sh, says: s.says, truths: sim.Truth(), frames: sim.Frames(tap), end: fact.Time(s.at) + fact.Second}
	began := fact.Time(0)
	for _, x := range w.truths {
		switch {
		case x.Kind == "stall" && x.To == "began":
			began = fact.Time(x.At)
		case x.Kind == "stall":
			w.stalls = append(w.stalls, fact.Span{From: began, To: fact.Time(x.At)})
		case x.Kind == "power" && x.To == "off" && x.About == w.tap:
			w.cuts = append(w.cuts, fact.Time(x.At))
		}
	}
	w.lose()
	return w
}

// lose finds the stretches without a live frame.
func (w *world) lose() {
	open := gone{from: -1, power: fact.Never}
	last := fact.Time(-1)
	var was *servobus.Frame
	for i := range w.frames {
		f := &w.frames[i]
		at := fact.Time(f.At)
		switch {
		case f.Wrong:
			continue
		case !f.Live:
			open.frames = append(open.frames, *f)
			continue
		}
		if len(open.frames) > 0 || last < 0 || at-last >= hushes {
			open.to, open.back = at, true
			w.close(&open)
		}
		last, was = at, &f.Frame
		open = gone{from: at, was: was, power: fact.Never}
	}
	open.to = w.end
	if len(open.frames) > 0 || open.to-open.from >= fact.Second+hushes {
		w.close(&open)
	}
}

// cutsShort is how long after a cut a frame may still end.
const cutsShort = 10 * fact.Millisecond

func (w *world) close(g *gone) {
	for _, cut := range w.cuts {
		if g.from-cutsShort <= cut && cut < g.to {
			g.power = min(g.power, cut)
		}
	}
	g.frames = slices.DeleteFunc(g.frames, func(f standin.Frame) bool { return fact.Time(f.At) > g.power })
	g.outcome = map[string]truth{}
	for _, x := range w.truths {
		if name, ok := strings.CutPrefix(x.About, w.tap+"/"); x.Kind == "channel" && ok && fact.Time(x.At) >= g.from && fact.Time(x.At) < min(g.to, g.power) {
			g.outcome[name] = x
		}
	}
	g.judgeSubtle()
	w.gones = append(w.gones, *g)
}

// linked says that it is a loss of a link that there was, and that the receiver kept
// its supply to begin with.
func (g *gone) linked() bool { return g.from >= 0 && g.power > g.from+slack }

// lasts is for how long what the receiver does about it could be watched.
func (g *gone) lasts() fact.Time { return min(g.to, g.power) - g.from }

// run is when the first four frames in a row begin that are as wanted, -1: none.
func run(frames []standin.Frame, is func(*standin.Frame) bool) fact.Time {
	n, since := 0, fact.Time(-1)
	for i := range frames {
		switch f := &frames[i]; {
		case f.Wrong:
		case !is(f):
			n = 0
		default:
			if n++; n == 1 {
				since = fact.Time(f.At)
			}
			if n == settles {
				return since
			}
		}
	}
	return -1
}

func withFlag(flag uint8) func(*standin.Frame) bool {
	return func(f *standin.Frame) bool { return f.Frame.Flags&flag != 0 }
}

func plain(f *standin.Frame) bool {
	return f.Frame.Flags&(servobus.FlagFrameLost|servobus.FlagFailsafe) == 0
}

// believable is a live frame without a flag, or what the wire can't tell from one.
func (w *world) believable(f *standin.Frame) bool {
	return plain(f) && (f.Live || w.subtle(f))
}

// subtle is a frame of an unflagged loss in which too little leapt to be told from
// hands, fewer than three channels; or one from before the first link, without a flag.
func (w *world) subtle(f *standin.Frame) bool {
	if f.Wrong || f.Live {
		return false
	}
	g := w.at(fact.Time(f.At))
	return g != nil && (g.from < 0 || g.linked()) && fact.Time(f.At) < g.power && g.subtle
}

const (
	leapsMany = 3
	leapsFar  = 32 // counts
)

// judgeSubtle finds out whether a stretch says nothing of itself.
func (g *gone) judgeSubtle() {
	if len(g.frames) == 0 || run(g.frames, func(f *standin.Frame) bool { return !plain(f) }) >= 0 {
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
func (g *gone) flagged() fact.Time {
	if at := run(g.frames, withFlag(servobus.FlagFailsafe)); at >= 0 {
		return at - g.from
	}
	return -1
}

// silent is the last frame before the receiver fell silent for long, -1: it did not.
func (g *gone) silent() fact.Time {
	last := g.from
	for i := range g.frames {
		at := fact.Time(g.frames[i].At)
		if at-last >= fallsSilent {
			return last
		}
		last = at
	}
	if min(g.to, g.power)-last >= fallsSilent {
		return last
	}
	return -1
}

// rests is what four frames in a row agree on at its end for a channel, from 1, in
// counts, and since when it stood so; false where there is no such thing.
func (g *gone) rests(channel int) (count uint16, since fact.Time, ok bool) {
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
	since = fact.Time(g.frames[i].At)
	if i == 0 && g.was != nil && g.was.Counts[channel-1] == count {
		since = g.from
	}
	return count, since, true
}

// dates says whether a time may be told as that of the last live frame. Frames that
// followed it can't be told from live ones until a flag comes or a value leaps.
func (g *gone) dates(t, off fact.Time) bool {
	latest := g.from
	for i := range g.frames {
		latest = fact.Time(g.frames[i].At)
		if !plain(&g.frames[i]) || i > 0 && moved(&g.frames[i-1].Frame, &g.frames[i].Frame) {
			break
		}
	}
	return t >= g.from-off && t <= latest+off
}

// stayed says whether a channel, from 1, that came to a count was held there: it is what
// the last live frame had, or the one after it, which may carry a packet more.
func (g *gone) stayed(w *world, channel int, count uint16) bool {
	for _, c := range []uint16{g.was.Counts[channel-1], g.frames[0].Frame.Counts[channel-1]} {
		if off := w.sh.Scale.Width(int64(count)) - w.sh.Scale.Width(int64(c)); off <= near && off >= -near {
			return true
		}
	}
	return false
}

// between are the frames of a stretch of time.
func (w *world) between(from, to fact.Time) []standin.Frame {
	a := sort.Search(len(w.frames), func(i int) bool { return fact.Time(w.frames[i].At) >= from })
	b := sort.Search(len(w.frames), func(i int) bool { return fact.Time(w.frames[i].At) > to })
	return w.frames[a:max(a, b)]
}

// window is where that must have happened which an event tells of: its onset to its
// date, with what may be off, and with the stalls that delayed it.
func (w *world) window(e *fact.Event) (from, to fact.Time) {
	from, to = min(e.From, e.At)-slack-w.late-2*w.period, e.At+slack
	for _, s := range w.stalls {
		if s.From <= to && s.To >= from {
			from, to = min(from, s.From-slack), max(to, s.To+slack)
		}
	}
	return from, to
}

func (w *world) around(e *fact.Event, more fact.Time) []standin.Frame {
	from, to := w.window(e)
	return w.between(from, to+more)
}

// silences are the stretches without a frame, long enough to be one as a state.
func (w *world) silences() (list []fact.Span) {
	last := fact.Time(0)
	for i := range w.frames {
		at := fact.Time(w.frames[i].At)
		if at-last >= hushes {
			list = append(list, fact.Span{From: last, To: at})
		}
		last = at
	}
	if w.end-last >= hushes {
		list = append(list, fact.Span{From: last, To: w.end})
	}
	return list
}

func (w *world) width(f *servobus.Frame, channel int) int64 {
	return w.sh.Scale.Width(int64(f.Counts[channel-1]))
}

// ofLoss are the losses of a link that began before a moment.
func (w *world) ofLoss(until fact.Time) (list []*gone) {
	for i := range w.gones {
		if g := &w.gones[i]; g.linked() && g.from < until {
			list = append(list, g)
		}
	}
	return list
}

// told are the truths of a kind about something, up to a moment.
func (w *world) told(kind, about, to string, until fact.Time) (dates []fact.Time) {
	for _, x := range w.truths {
		if x.Kind == kind && (about == "" || x.About == about) && (to == "" || x.To == to) && fact.Time(x.At) <= until {
			dates = append(dates, fact.Time(x.At))
		}
	}
	return dates
}

// bridged is how far apart two believable frames may be that are of one stretch.
const bridged = 100 * fact.Millisecond

// live is for how long believable frames came up to a moment.
func (w *world) live(until fact.Time) fact.Time { return w.liveIn(0, until) }

func (w *world) liveIn(from, until fact.Time) (lasted fact.Time) {
	last := fact.Time(-1)
	frames := w.between(from, until)
	for i := range frames {
		f := &frames[i]
		at := fact.Time(f.At)
		if !w.believable(f) {
			continue
		}
		if last >= 0 && at-last <= bridged {
			lasted += at - last
		}
		last = at
	}
	return lasted
}

// moving is for how long values moved in believable frames up to a moment.
func (w *world) moving(until fact.Time) (lasted fact.Time) {
	const bridges = fact.Second / 2 // between two changes of what moves
	var before *standin.Frame
	changed := fact.Time(-1)
	for i := range w.frames {
		f := &w.frames[i]
		at := fact.Time(f.At)
		if at > until {
			break
		}
		if !w.believable(f) {
			before, changed = nil, -1
			continue
		}
		if before != nil && moved(&before.Frame, &f.Frame) {
			if changed >= 0 && at-changed < bridges {
				lasted += at - changed
			}
			changed = at
		}
		before = f
	}
	return lasted
}

func moved(a, b *servobus.Frame) bool {
	for i := range a.Counts {
		if d := int(a.Counts[i]) - int(b.Counts[i]); d > 1 || d < -1 {
			return true
		}
	}
	return false
}

// heldSilently are the stretches in which the receiver sent what was old without a
// flag, for so long at least. Where the failsafe flag came in time it said so.
func (w *world) heldSilently(least fact.Time) (list []fact.Span) {
	for i := range w.gones {
		g := &w.gones[i]
		if f := g.flagged(); g.from >= 0 && (f < 0 || f > fact.Time(w.sh.Failsafe.Within)) {
			list = append(list, g.unflagged(w.period)...)
		}
	}
	return slices.DeleteFunc(list, func(s fact.Span) bool { return s.To-s.From < least })
}

// unflagged are the runs of its frames without a flag.
func (g *gone) unflagged(period fact.Time) (list []fact.Span) {
	from, last := fact.Time(-1), g.from
	for i := range g.frames {
		f := &g.frames[i]
		at := fact.Time(f.At)
		switch {
		case !plain(f) && from >= 0:
			list = append(list, fact.Span{From: from, To: at})
			from = -1
		case plain(f) && from < 0:
			from = last // what was sent last was of the same age
		}
		last = at
	}
	if from >= 0 {
		list = append(list, fact.Span{From: from, To: min(last+period, g.to)})
	}
	return list
}
