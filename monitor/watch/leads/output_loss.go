package leads

import (
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	trailEvery = 200 * unit.Millisecond // how often a width is kept
	trailKept  = 64                     // so that a loss found out late is looked up as it began
	outWatched = 1500 * unit.Millisecond
	outSilent  = 300 * unit.Millisecond // without a pulse, while the board goes on; of a bus, without a frame
	// outLag is how much later than the outputs a bus may be read: what they did so shortly before a signal that is
	// back may be its doing (an adapter holds bytes for 16 ms; six times that is a choice of ours).
	outLag = 100 * unit.Millisecond
)

// OutputLoss reports what the outputs did when the signal was lost: where each stood
// with the last live frame, and where it stands once the bus has settled. It reads
// from the bus's Loss, and reports once for each loss.
//
//	bus     live  | lost ......... | settled
//	output  ~~~~~~~~~~~~~~~________|________[ watched ]
//	              ^ was                     ^ now, least, most
//
// A loss is known to be over some frames behind its end, and what the outputs did from the
// first of them on is none of it.
type OutputLoss struct {
	Tap      uint8
	Outputs  event.ByOutput[outputTrail]
	Phase    string // of the loss, as last seen
	LiveAt   unit.Time
	Settled  unit.Time // date, 0: not yet
	Reported bool
	Drill    string
	Alive    unit.Time // date of the board's latest line, while no signal may be back
	Frame    unit.Time // date of the bus's latest frame
	Flagged  bool      // a frame said that there is no signal, or none came: one without a flag tells of one
	Back     unit.Time // date since which the signal may be back, 0: it is not
}

// outputTrail is one output's recent past.
type outputTrail struct {
	Output      int
	Wire        unit.Time     // of its latest pulse
	Last        [2]unit.Width // widths of its latest pulses, 0: none yet
	Width       unit.Width    // the middle one of the latest three: one odd pulse is not where it stood
	Trail       []trailPoint
	Was         unit.Width
	Now         unit.Width // since the bus settled
	Least, Most unit.Width // since then, 0: no pulse
	Seen        unit.Time  // wire time of the latest pulse of these
	Older       spell      // what was done then, not long enough ago to count
	Fresh       spell      // and behind that
}

// spell is what an output did for a short while.
type spell struct {
	From, To         unit.Time // wire, 0: nothing
	Least, Most, Now unit.Width
}

type trailPoint struct {
	Wire  unit.Time
	Width unit.Width
}

// See implements Watcher.
func (l *OutputLoss) See(o *event.Observation, v *base.View, emit event.Emit) {
	if base.TapClosed(o, l.Tap) {
		l.report(v, emit)
		*l = OutputLoss{Tap: l.Tap}
		return
	}
	if o.Tap == l.Tap {
		l.heard(o)
	}
	if bus := v.FirstBus(); bus != 0 {
		l.frame(o, bus, v)
		l.follow(o, &v.Taps[bus], v, emit)
	}
}

// frame looks for the first frame of a signal that may be back. Where no flag shows one, it may be from when the
// builder was asked to switch on.
func (l *OutputLoss) frame(o *event.Observation, bus uint8, v *base.View) {
	if o.Tap != bus || o.Kind != event.FrameSeen || o.Frame.Bad {
		return
	}
	silent := l.Frame != 0 && o.At.Sub(l.Frame) > outSilent
	l.Frame = o.At
	switch {
	case l.Settled == 0:
	case base.SignalOf(o.Frame) != event.SignalLive:
		l.Flagged, l.Back = true, 0
	case l.Back == 0 && (l.Flagged || silent || v.Act() == drill.ActOn):
		l.Back = o.At
	}
}

func (l *OutputLoss) heard(o *event.Observation) {
	if o.Kind != event.BoardStatus && o.Kind != event.PulseSeen {
		return
	}
	if l.Back == 0 {
		l.Alive = o.At
	}
	if o.Kind == event.PulseSeen {
		l.trail(o.Pulse.Output).see(o.Wire, o.Pulse.Width, l.Settled != 0 && l.Back == 0)
	}
}

func (l *OutputLoss) trail(output int) *outputTrail {
	if t := l.Outputs.Of(output); t != nil {
		return t
	}
	return l.Outputs.Add(output, outputTrail{Output: output})
}

// see takes a pulse. counts: it is of a loss that has settled.
func (t *outputTrail) see(at unit.Time, latest unit.Width, counts bool) {
	a, b := t.Last[0], t.Last[1]
	t.Wire, t.Last = at, [2]unit.Width{b, latest}
	if a == 0 {
		return
	}
	t.Width = max(min(a, b), min(max(a, b), latest))
	width := t.Width
	if n := len(t.Trail); n == 0 || at.Sub(t.Trail[n-1].Wire) >= trailEvery {
		if n == trailKept {
			t.Trail = t.Trail[:copy(t.Trail, t.Trail[1:])]
		}
		t.Trail = append(t.Trail, trailPoint{at, width})
	}
	if !counts {
		return
	}
	if t.Fresh.From == 0 || at.Sub(t.Fresh.From) >= outLag {
		t.count(&t.Older)
		t.Older, t.Fresh = t.Fresh, spell{From: at, Least: width, Most: width}
	}
	f := &t.Fresh
	f.To, f.Now, f.Least, f.Most = at, width, min(f.Least, width), max(f.Most, width)
}

// count has a spell count that is long enough ago.
func (t *outputTrail) count(s *spell) {
	switch {
	case s.From == 0:
		return
	case t.Most == 0:
		t.Least, t.Most = s.Least, s.Most
	default:
		t.Least, t.Most = min(t.Least, s.Least), max(t.Most, s.Most)
	}
	t.Now, t.Seen = s.Now, s.To
}

// settle begins what counts.
func (t *outputTrail) settle() {
	t.Now, t.Seen, t.Older, t.Fresh = t.Width, t.Wire, spell{}, spell{}
}

// follow goes with the loss of the bus.
func (l *OutputLoss) follow(o *event.Observation, bus *base.Tap, v *base.View, emit event.Emit) {
	if bus.Loss != l.Phase {
		l.turn(o, bus, v, emit)
	}
	if l.Phase == event.PhaseSettled && l.Settled != 0 && o.At.Sub(l.Settled) >= outWatched {
		l.report(v, emit)
	}
}

// turn takes a change of phase.
func (l *OutputLoss) turn(o *event.Observation, bus *base.Tap, v *base.View, emit event.Emit) {
	if bus.Loss != event.PhaseSettled {
		l.report(v, emit)
		l.Settled, l.Flagged, l.Back = 0, false, 0 // what they do from here on is none of the loss
	}
	if l.Phase == "" || l.Phase == event.PhaseBack {
		l.begin(bus, v)
	}
	l.Phase = bus.Loss
	if l.Phase == event.PhaseSettled {
		l.Settled = o.At
		for i := range l.Outputs.List {
			l.Outputs.List[i].settle()
		}
	}
}

func (l *OutputLoss) begin(bus *base.Tap, v *base.View) {
	l.LiveAt, l.Settled, l.Reported, l.Drill = bus.LossAt, 0, false, v.Drill
	for i := range l.Outputs.List {
		t := &l.Outputs.List[i]
		t.Was, t.Least, t.Most = 0, 0, 0
		for _, p := range t.Trail {
			if p.Wire <= l.LiveAt && l.LiveAt.Sub(p.Wire) < unit.Second {
				t.Was = p.Width
			}
		}
	}
}

// report says what the outputs did, once they were watched for a while.
func (l *OutputLoss) report(v *base.View, emit event.Emit) {
	if l.Settled == 0 || l.Reported || l.Alive.Sub(l.Settled) < outWatched/2 {
		return
	}
	l.Reported = true
	d := event.LossOutputsData{Tap: v.Taps[l.Tap].Name, Bus: v.Taps[v.FirstBus()].Name, Drill: l.Drill, LiveNS: l.LiveAt}
	for i := range l.Outputs.List {
		t := &l.Outputs.List[i]
		for _, s := range []*spell{&t.Older, &t.Fresh} {
			if l.Alive.Sub(s.To) >= outLag {
				t.count(s)
			}
		}
		out := event.LossOutput{Output: t.Output, WasNS: t.Was, NowNS: t.Now, LeastNS: t.Least, MostNS: t.Most, SilentNS: -1}
		if l.Alive.Sub(t.Seen) > outSilent {
			if t.Was == 0 {
				continue // it was silent before
			}
			out.SilentNS = max(0, t.Seen.Sub(l.LiveAt))
		}
		d.Outputs = append(d.Outputs, out)
	}
	if len(d.Outputs) > 0 {
		emit(event.LossOutputs, l.LiveAt, v.Taps[l.Tap].About(), d)
	}
}
