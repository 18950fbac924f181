package monitor_test

import (
	"sort"

	"benchproof.example/decode/bus"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/sheet"
	"benchproof.example/monitor/sim/world"
	"benchproof.example/monitor/unit"
)

const (
	// settles is how many equal plain frames are the least that settles anything.
	settles = 4
	// slack is how far a date may be off: a period, clumps, and where hands differ.
	slack = 60 * unit.Millisecond
	// near is how far a width may be off, ns: two counts and what rounding does.
	near = 1_300
	// hushes is the least silence, and fallsSilent what a receiver is said to do.
	hushes      = 80 * unit.Millisecond
	fallsSilent = unit.Second
	// holdTold is how long a hold must have been watched before it is wrong.
	holdTold = 5 * unit.Second
)

type truth = world.Truth

// scene is all that really happened at one bus in a sitting.
type scene struct {
	tap    string
	sh     *sheet.Sheet
	says   []event.Input
	truths []truth
	frames []world.Frame
	period unit.Duration
	late   unit.Duration // what the adapter may add
	damage bool          // the wire is bad
	end    unit.Time
	gones  []gone
	stalls []event.Span
	cuts   []unit.Time        // of the supply
	unseen map[unit.Time]bool // by their beginning: holds past which values were seen right that never froze, see unseeable
}

func newWorld(sh *sheet.Sheet, s *sitting, sim *world.Sim, tap int) *scene {
	w := &scene{tap: s.taps()[tap], unseen: map[unit.Time]bool{}, sh: sh, says: s.says, truths: sim.Truth(),
		frames: sim.Frames(tap), end: unit.Time(s.at).Add(unit.Second)}
	began := unit.Time(0)
	for _, x := range w.truths {
		switch {
		case x.Kind == "stall" && x.To == "began":
			began = unit.Time(x.At)
		case x.Kind == "stall":
			w.stalls = append(w.stalls, event.Span{From: began, To: unit.Time(x.At)})
		case x.Kind == "power" && x.To == "off" && x.About == w.tap:
			w.cuts = append(w.cuts, unit.Time(x.At))
		}
	}
	w.lose()
	return w
}

// run is when the first four frames in a row begin that are as wanted, -1: none.
func run(frames []world.Frame, is func(*world.Frame) bool) unit.Time {
	n, since := 0, unit.Time(-1)
	for i := range frames {
		switch f := &frames[i]; {
		case f.Wrong:
		case !is(f):
			n = 0
		default:
			if n++; n == 1 {
				since = unit.Time(f.At)
			}
			if n == settles {
				return since
			}
		}
	}
	return -1
}

func withFlag(flag bus.Flags) func(*world.Frame) bool {
	return func(f *world.Frame) bool { return f.Frame.Flags&flag != 0 }
}

func plain(f *world.Frame) bool {
	return f.Frame.Flags&(bus.Lost|bus.Failsafe) == 0
}

// believable is a live frame without a flag, or what the wire can't tell from one.
func (w *scene) believable(f *world.Frame) bool {
	return plain(f) && (f.Live || w.subtle(f))
}

// between are the frames of a stretch of time.
func (w *scene) between(from, to unit.Time) []world.Frame {
	a := sort.Search(len(w.frames), func(i int) bool { return unit.Time(w.frames[i].At) >= from })
	b := sort.Search(len(w.frames), func(i int) bool { return unit.Time(w.frames[i].At) > to })
	return w.frames[a:max(a, b)]
}

// window is where that must have happened which an event describes: its onset to its
// date, with what may be off, and with the stalls that delayed it.
func (w *scene) window(e *event.Event) (from, to unit.Time) {
	from, to = min(e.From, e.At).Add(-slack-w.late-2*w.period), e.At.Add(slack)
	for _, s := range w.stalls {
		if s.From <= to && s.To >= from {
			from, to = min(from, s.From.Add(-slack)), max(to, s.To.Add(slack))
		}
	}
	return from, to
}

func (w *scene) around(e *event.Event, more unit.Duration) []world.Frame {
	from, to := w.window(e)
	return w.between(from, to.Add(more))
}

// silences are the stretches without a frame, long enough to be one as a state.
func (w *scene) silences() (list []event.Span) {
	last := unit.Time(0)
	for i := range w.frames {
		at := unit.Time(w.frames[i].At)
		if at.Sub(last) >= hushes {
			list = append(list, event.Span{From: last, To: at})
		}
		last = at
	}
	if w.end.Sub(last) >= hushes {
		list = append(list, event.Span{From: last, To: w.end})
	}
	return list
}

func (w *scene) width(f *bus.Frame, channel int) unit.Width {
	return w.sh.Width(f.Counts[channel-1])
}

// ofLoss are the losses of a link that began before a moment.
func (w *scene) ofLoss(until unit.Time) (list []*gone) {
	for i := range w.gones {
		if g := &w.gones[i]; g.linked() && g.from < until {
			list = append(list, g)
		}
	}
	return list
}

// dates are those of the truths of a kind about something, up to a moment.
func (w *scene) dates(kind, about, to string, until unit.Time) (dates []unit.Time) {
	for _, x := range w.truths {
		if x.Kind == kind && (about == "" || x.About == about) && (to == "" || x.To == to) && unit.Time(x.At) <= until {
			dates = append(dates, unit.Time(x.At))
		}
	}
	return dates
}

// bridged is how far apart two believable frames may be that are of one stretch.
const bridged = 100 * unit.Millisecond

// live is for how long believable frames came up to a moment.
func (w *scene) live(until unit.Time) unit.Duration { return w.liveIn(0, until) }

func (w *scene) liveIn(from, until unit.Time) (lasted unit.Duration) {
	last := unit.Time(-1)
	frames := w.between(from, until)
	for i := range frames {
		f := &frames[i]
		at := unit.Time(f.At)
		if !w.believable(f) {
			continue
		}
		if last >= 0 && at.Sub(last) <= bridged {
			lasted += at.Sub(last)
		}
		last = at
	}
	return lasted
}

// moving is for how long values moved in believable frames up to a moment.
func (w *scene) moving(until unit.Time) (lasted unit.Duration) {
	const bridges = unit.Second / 2 // between two changes of what moves
	var before *world.Frame
	changed := unit.Time(-1)
	for i := range w.frames {
		f := &w.frames[i]
		at := unit.Time(f.At)
		if at > until {
			break
		}
		if !w.believable(f) {
			before, changed = nil, -1
			continue
		}
		if before != nil && moved(&before.Frame, &f.Frame) {
			if changed >= 0 && at.Sub(changed) < bridges {
				lasted += at.Sub(changed)
			}
			changed = at
		}
		before = f
	}
	return lasted
}

func moved(a, b *bus.Frame) bool {
	for i := range a.Counts {
		if d := int(a.Counts[i]) - int(b.Counts[i]); d > 1 || d < -1 {
			return true
		}
	}
	return false
}
