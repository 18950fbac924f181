package leads

import (
	"benchproof.example/monitor/drill"
	"benchproof.example/monitor/event"
	"benchproof.example/monitor/fit/oscillation"
	"benchproof.example/monitor/unit"
	"benchproof.example/monitor/watch/base"
)

const (
	oscillationRest    = 2 * unit.Second                            // nothing commands the outputs for this long before it is looked
	oscillationHop     = 60                                         // samples after which it is looked again: a quarter of what is seen
	oscillationEvery   = oscillationHop * oscillation.Interval      // that as time
	oscillationSpan    = oscillation.Samples * oscillation.Interval // what is seen
	oscillationWindows = 1 + oscillation.Samples/oscillationHop     // that show it one after the other: twice as long as what is seen
	oscillationCalm    = oscillationWindows                         // that don't, before it is over: a step hides a swing for as long as it is in sight
	oscillationLeast   = 5_000                                      // ns to either side that are reported
	oscillationGone    = 3_000                                      // and that it must fall below to be over
	oscillationGain    = 10_000                                     // ns by which the gain is another, so that a swing is told anew
	oscillationApart   = 60 * unit.Millisecond                      // between two pulses: more is a hole, which no line bridges
)

// OutputUnsteady looks for an output that swings slowly, 0.5 to 10 times a second,
// while nothing commands it: too much gain, or something loose. It looks at six seconds
// at a time, each 1.5 s, and reports what shows alike for twelve. What comes once, such as
// a step, a model tilted by hand or a stick, makes no such trace; nor does noise.
//
//	aileron  /\_________________________________
//	output 1 /\__/\/\/\/\/\/\/\/\/\/\/\/\_______
//	             ^ onset         ^ unsteady   ^ calm
//
// A quiet bench, without air that flows, does not show that it never will.
type OutputUnsteady struct {
	Tap     uint8
	Rest    outputRest
	Outputs event.ByOutput[outputOscillation]
}

type outputOscillation struct {
	Output  int
	Epoch   int
	Rise    unit.Duration // of the latest pulse, board clock, ns
	Grid    oscillation.Grid
	Seen    oscillation.Oscillation // when it was looked last
	Windows int                     // in a row that showed one
	Calm    int                     // in a row that did not

	Reported bool
	Onset    unit.Time
	Last     unit.Time                // when one was seen
	As       event.OutputUnsteadyData // what was
}

// See implements Watcher.
func (u *OutputUnsteady) See(o *event.Observation, v *base.View, emit event.Emit) {
	u.Rest.see(o, v, byHands)
	switch {
	case base.TapClosed(o, u.Tap):
		for i := range u.Outputs.List {
			u.Outputs.List[i].Reported = false
		}
	case o.Tap == u.Tap && o.Kind == event.PulseSeen:
		u.of(o.Pulse.Output).pulse(o, &u.Rest, emit)
	}
}

// byHands reports that the drill under way has somebody move the model, and that the prompt that stands
// does not have it left alone.
func byHands(v *base.View) bool { return byDrill(v) && !untouched(v) }

// untouched reports that a prompt has nobody touch the model, nor the knob that sets its gain.
func untouched(v *base.View) bool {
	ask := v.Ask()
	return ask.Act == drill.ActDeclare && ask.GainAt != 0
}

func (u *OutputUnsteady) of(output int) *outputOscillation {
	if l := u.Outputs.Of(output); l != nil {
		return l
	}
	return u.Outputs.Add(output, outputOscillation{Output: output})
}

// forget breaks off: what comes next does not follow what came before.
func (l *outputOscillation) forget() {
	l.Grid.Reset()
	l.Windows, l.Calm = 0, 0
}

func (l *outputOscillation) pulse(o *event.Observation, rest *outputRest, emit event.Emit) {
	p := o.Pulse
	if p.Epoch != l.Epoch || p.Rise-l.Rise > oscillationApart {
		l.forget()
	}
	l.Epoch, l.Rise = p.Epoch, p.Rise
	if rest.lasts(o) < oscillationRest {
		l.forget()
		return
	}
	l.Grid.Pulse(p.Rise, p.Width)
	if l.Grid.Full() {
		l.inspect(o, rest, emit)
		l.Grid.Drop(oscillationHop)
	}
}

func (l *outputOscillation) inspect(o *event.Observation, rest *outputRest, emit event.Emit) {
	least := unit.Width(oscillationLeast)
	if l.Reported {
		least = oscillationGone
	}
	s, ok := oscillation.Find(&l.Grid.Widths, l.Grid.Period, least)
	if !ok {
		l.Windows = 0
		if l.Calm++; l.Reported && l.Calm == oscillationCalm {
			l.calm(emit)
		}
		return
	}
	if l.Windows > 0 && !alike(l.Seen, s) {
		l.Windows = 0
	}
	l.Windows++
	l.Seen, l.Last, l.Calm = s, o.Wire, 0
	if l.Reported && unit.Abs(rest.Gain-l.As.GainNS) <= oscillationGain || l.Windows < oscillationWindows {
		return
	}
	l.Reported, l.Onset = true, o.Wire.Add(-oscillationSpan-(oscillationWindows-1)*oscillationEvery)
	l.As = event.OutputUnsteadyData{MilliHz: s.MilliHz, AmplitudeNS: s.Amplitude, ForNS: o.Wire.Sub(l.Onset), Mode: rest.Mode, GainNS: rest.Gain}
	emit(event.OutputUnsteady, l.Onset, outputAbout(l.Output), l.As)
}

// calm dates the end of a swing in the middle of what showed it last.
func (l *outputOscillation) calm(emit event.Emit) {
	l.Reported = false
	end := l.Last.Add(-oscillationSpan / 2)
	l.As.ForNS = end.Sub(l.Onset)
	emit(event.OutputCalm, end, outputAbout(l.Output), l.As)
}

// alike reports whether two looks saw the same swing.
func alike(a, b oscillation.Oscillation) bool {
	return unit.Abs(a.MilliHz-b.MilliHz) <= max(250, a.MilliHz/7) && a.Amplitude <= 2*b.Amplitude && b.Amplitude <= 2*a.Amplitude
}
