package leads

import (
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	trailEvery = 200 * unit.Millisecond // how often a width is kept
	trailKept  = 64                     // so that a loss found out late is looked up as it began
	outWatched = 1500 * unit.Millisecond
	outSilent  = 300 * unit.Millisecond // without a pulse, while the board goes on
)

// OutputLoss reports what the outputs did when the signal was lost: where each stood
// with the last live frame, and where it stands once the bus has settled. It reads
// from the bus's Loss, and reports once for each loss.
//
//	bus     live  | lost ......... | settled
//	output  ~~~~~~~~~~~~~~~________|________[ watched ]
//	              ^ was                     ^ now, least, most
type OutputLoss struct {
	Tap      uint8
	Outputs  event.ByOutput[outputTrail]
	Phase    string // of the loss, as last seen
	LiveAt   unit.Time
	Settled  unit.Time // date, 0: not yet
	Reported bool
	Drill    string
	Alive    unit.Time // date of the board's latest line
}

// outputTrail is one output's recent past.
type outputTrail struct {
	Output      int
	Wire        unit.Time     // of its latest pulse
	Last        [2]unit.Width // widths of its latest pulses, 0: none yet
	Width       unit.Width    // the middle one of the latest three: one odd pulse is not where it stood
	Trail       []trailPoint
	Was         unit.Width
	Least, Most unit.Width // since the bus settled, 0: no pulse
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
		l.follow(o, &v.Taps[bus], v, emit)
	}
}

func (l *OutputLoss) heard(o *event.Observation) {
	switch o.Kind {
	case event.BoardStatus:
		l.Alive = o.At
	case event.PulseSeen:
		l.Alive = o.At
		l.trail(o.Pulse.Output).see(o.Wire, o.Pulse.Width, l.Settled != 0)
	}
}

func (l *OutputLoss) trail(output int) *outputTrail {
	if t := l.Outputs.Of(output); t != nil {
		return t
	}
	return l.Outputs.Add(output, outputTrail{Output: output})
}

func (t *outputTrail) see(at unit.Time, latest unit.Width, settled bool) {
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
	switch {
	case !settled:
	case t.Most == 0:
		t.Least, t.Most = width, width
	default:
		t.Least, t.Most = min(t.Least, width), max(t.Most, width)
	}
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
		l.Settled = 0 // what they do from here on is none of the loss
	}
	if l.Phase == "" || l.Phase == event.PhaseBack {
		l.begin(bus, v)
	}
	l.Phase = bus.Loss
	if l.Phase == event.PhaseSettled {
		l.Settled = o.At
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
		out := event.LossOutput{Output: t.Output, WasNS: t.Was, NowNS: t.Width, LeastNS: t.Least, MostNS: t.Most, SilentNS: -1}
		if l.Alive.Sub(t.Wire) > outSilent {
			if t.Was == 0 {
				continue // it was silent before
			}
			out.SilentNS = max(0, t.Wire.Sub(l.LiveAt))
		}
		d.Outputs = append(d.Outputs, out)
	}
	if len(d.Outputs) > 0 {
		emit(event.LossOutputs, l.LiveAt, v.Taps[l.Tap].About(), d)
	}
}
