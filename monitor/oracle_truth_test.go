package monitor_test

import (
	"sort"

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

type truth = standin.Truth

// scene is all that really happened at one bus in a sitting.
type scene struct {
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

func newWorld(sh *sheet.Sheet, s *sitting, sim *standin.Sim, tap int) *scene {
	w := &scene{tap: s.taps()[tap], unseen: map[fact.Time]bool{}, sh: sh, says: s.says, truths: sim.Truth(), frames: sim.Frames(tap), end: fact.Time(s.at) + fact.Second}
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
func (w *scene) believable(f *standin.Frame) bool {
	return plain(f) && (f.Live || w.subtle(f))
}

// between are the frames of a stretch of time.
func (w *scene) between(from, to fact.Time) []standin.Frame {
	a := sort.Search(len(w.frames), func(i int) bool { return fact.Time(w.frames[i].At) >= from })
	b := sort.Search(len(w.frames), func(i int) bool { return fact.Time(w.frames[i].At) > to })
	return w.frames[a:max(a, b)]
}

// window is where that must have happened which an event tells of: its onset to its
// date, with what may be off, and with the stalls that delayed it.
func (w *scene) window(e *fact.Event) (from, to fact.Time) {
	from, to = min(e.From, e.At)-slack-w.late-2*w.period, e.At+slack
	for _, s := range w.stalls {
		if s.From <= to && s.To >= from {
			from, to = min(from, s.From-slack), max(to, s.To+slack)
		}
	}
	return from, to
}

func (w *scene) around(e *fact.Event, more fact.Time) []standin.Frame {
	from, to := w.window(e)
	return w.between(from, to+more)
}

// silences are the stretches without a frame, long enough to be one as a state.
func (w *scene) silences() (list []fact.Span) {
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

func (w *scene) width(f *servobus.Frame, channel int) int64 {
	return w.sh.Scale.Width(int64(f.Counts[channel-1]))
}

// ofLoss are the losses of a link that began before a moment.
func (w *scene) ofLoss(until fact.Time) (list []*gone) {
	for i := range w.gones {
		if g := &w.gones[i]; g.linked() && g.from < until {
			list = append(list, g)
		}
	}
	return list
}

// told are the truths of a kind about something, up to a moment.
func (w *scene) told(kind, about, to string, until fact.Time) (dates []fact.Time) {
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
func (w *scene) live(until fact.Time) fact.Time { return w.liveIn(0, until) }

func (w *scene) liveIn(from, until fact.Time) (lasted fact.Time) {
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
func (w *scene) moving(until fact.Time) (lasted fact.Time) {
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
